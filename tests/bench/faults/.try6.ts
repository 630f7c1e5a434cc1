import { lifeOf, type PlantKind } from '../../../seed/src/faults/plants.ts'
import { FAULT_CASES, type FaultCase, type FaultName } from '../../../seed/src/faults/catalogue.ts'
import { observe, snapshotAt } from './observe.ts'
import { createRandom } from '@sightglass/chemistry/plant'
import { assess, profileByKey, renderPhrase } from '@sightglass/chemistry'
const MIN=60000,HOUR=60*MIN,DAY=24*HOUR
const [,,name,kind,seed,every='6',to='60',step='0']=process.argv
const given:FaultCase=FAULT_CASES[name as FaultName]
const random=createRandom(`${seed}/${name}/onset`)
const fromMs=Date.UTC(2026,Math.floor(random.next()*12),3)
const onset=fromMs+20*DAY+Math.floor(random.next()*3*24*12)*5*MIN
const made=lifeOf(kind as PlantKind,`${seed}/${name}/${kind}`,fromMs,Math.ceil((onset-fromMs)/DAY+(given.countsAfterHours??0)/24+6))
const life={...made,plant:given.plant?.(made.plant,kind as PlantKind)??made.plant}
const faults=given.faults({life,atMs:onset,random})
console.log(JSON.stringify(faults.map(f=>({...f,fromMs:((f.fromMs-onset)/HOUR).toFixed(0)}))), 'onset',new Date(onset).toISOString())
const o=observe(life,faults)
console.log('visits',life.visits.map(v=>((v-onset)/HOUR).toFixed(0)).join(' '))
for (const l of o.levels) console.log('level',((l.atMs-onset)/HOUR).toFixed(0),l.role,l.levelL,l.deliveredL, life.plant.feeders.find(f=>f.role===l.role)?.drum?.capacityL)
for (let k=-Number(every)*2;k<=Number(to);k+=Number(every)) { const at=Math.ceil(onset/HOUR)*HOUR+k*HOUR
 if (at>life.toMs) break
 const a=assess(snapshotAt(o,at),profileByKey('cdc-mahc')!,at)
 const h=o.hours.find(x=>x.hourMs===at-HOUR), w=o.hours.find(x=>x.hourMs===at-HOUR-7*DAY), y=o.hours.find(x=>x.hourMs===at-HOUR-24*HOUR)
 const t=o.readings.filter(r=>r.atMs<=at).at(-1)
 console.log(k,'orp',h?.orpMv?.mean.toFixed(0),'sp',h?.orpSetPointMv,'san',h?.sanitizerFeedMin?.toFixed(1),'yd',y?.sanitizerFeedMin?.toFixed(1),'wk',w?.sanitizerFeedMin?.toFixed(1),'bk',h?.backupFeedMin?.toFixed(1),'ph',h?.ph?.mean.toFixed(2),'acid',h?.phFeedMin?.toFixed(2),'wk',w?.phFeedMin?.toFixed(2),'T',h?.tempC?.mean.toFixed(1),'fl',h?.flowLMin?.mean?.toFixed(0),'nf',h?.noFlowMin,'test',t?.values.freeChlorineMgL??t?.values.bromineMgL,t?.values.ph)
 for (const f of a.findings) if (f.family==='feed'||f.family==='hazard') console.log('      ',f.kind,f.subject,f.severity,renderPhrase(f.sentence,'metric'),'since',((f.sinceMs-onset)/HOUR).toFixed(0),JSON.stringify(f.causes?.map(c=>c.cause+' '+c.share)), f.evidence.filter(e=>e.label.startsWith('Sanitizer by')).map(e=>e.quantity.value).join('>'))
}
