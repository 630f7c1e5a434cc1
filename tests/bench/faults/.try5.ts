import { lifeOf, type PlantKind } from '../../../seed/src/faults/plants.ts'
import { observe, snapshotAt } from './observe.ts'
import { createRandom } from '@sightglass/chemistry/plant'
import { assess, profileByKey, renderPhrase } from '@sightglass/chemistry'
const DAY=86400000,HOUR=3600000
const [,,kind,seed,when,back='48',fwd='12',step='3']=process.argv
const random=createRandom(`${seed}/${kind}/healthy`)
const fromMs=Date.UTC(2026,Math.floor(random.next()*12),3)
const o=observe(lifeOf(kind as PlantKind,`${seed}/healthy/${kind}`,fromMs,60),[])
const at=Date.parse(when+':00:00Z')
const a=assess(snapshotAt(o,at),profileByKey('cdc-mahc')!,at)
for (const f of a.findings) if (f.family==='feed'||f.family==='hazard') { console.log(f.kind,f.subject,renderPhrase(f.sentence,'metric'),'since',new Date(f.sinceMs).toISOString(), JSON.stringify(f.causes)); for (const e of f.evidence) console.log('   ',e.label,e.quantity.value.toFixed(2),e.quantity.unit) }
for (const h of o.hours) { const k=(h.hourMs-at)/HOUR; if (k< -Number(back)||k>Number(fwd)||((k%Number(step))+Number(step))%Number(step)) continue
 const yest=o.hours.find(x=>x.hourMs===h.hourMs-7*DAY)
 console.log(new Date(h.hourMs).toISOString().slice(5,13),'orp',h.orpMv?.mean.toFixed(0),'sp',h.orpSetPointMv,'san',h.sanitizerFeedMin?.toFixed(1),'wk ago',yest?.sanitizerFeedMin?.toFixed(1),'ph',h.ph?.mean.toFixed(2),'acid',h.phFeedMin?.toFixed(2),'wk ago',yest?.phFeedMin?.toFixed(2),'T',h.tempC?.mean) }
for (const r of o.readings) if (Math.abs(r.atMs-at)<Number(back)*HOUR*2 && r.atMs<at+Number(fwd)*HOUR) console.log(new Date(r.atMs).toISOString().slice(5,16),r.by,JSON.stringify(r.values))
for (const f of o.life.everyday) if (f.kind==='shockDosed'&&Math.abs(f.fromMs-at)<6*DAY) console.log('shock',new Date(f.fromMs).toISOString(),f.amount)
console.log('visits',o.life.visits.filter(v=>Math.abs(v-at)<10*DAY).map(v=>new Date(v).toISOString().slice(5,16)).join(' '))
for (const l of o.levels) if (l.atMs>at-25*DAY&&l.atMs<at) console.log(new Date(l.atMs).toISOString().slice(5,16),l.role,l.levelL,l.deliveredL)
