import { FAULT_CASES, type FaultCase, type FaultName } from '../../../seed/src/faults/catalogue.ts'
import { PLANT_KINDS, type PlantKind } from '../../../seed/src/faults/plants.ts'
import { judgeCase, judgeHealthy } from './judge.ts'

const [, , what = 'all', n = '4', seed = 'tune'] = process.argv
const verbose = process.argv.includes('-v')
const q = (a: number[], p: number) => {
  const s = [...a].sort((x, y) => x - y)
  return s[Math.floor((s.length - 1) * p)] ?? NaN
}
if (what === 'healthy') {
  let months = 0
  const by: any = {}
  for (const kind of Object.keys(PLANT_KINDS) as PlantKind[])
    for (let i = 0; i < Number(n); i++) {
      const r = judgeHealthy(kind, `${seed}/${i}`)
      months += r.months
      for (const a of r.alarms) {
        ;(by[a.signal] ??= {})[kind] = ((by[a.signal] ??= {})[kind] ?? 0) + 1
        if (verbose) console.log(kind, i, a.signal, new Date(a.atMs).toISOString().slice(0, 13), a.text)
      }
    }
  console.log(
    by,
    (
      (Object.values(by)
        .flatMap((x: any) => Object.values(x))
        .reduce((a: any, b: any) => a + b, 0) as number) / months
    ).toFixed(3),
    'per body and month;',
    months.toFixed(0),
    'months',
  )
} else
  for (const name of (what === 'all' ? Object.keys(FAULT_CASES) : what.split(',')) as FaultName[]) {
    const given: FaultCase = FAULT_CASES[name]
    const t = performance.now()
    const rs = Array.from({ length: Number(n) }, (_, i) =>
      judgeCase(name, given.on[i % given.on.length]!, `${seed}/${i}`),
    )
    const d = rs.flatMap((r) => (r.delayHours === null ? [] : [r.delayHours]))
    const causes: any = {}
    for (const r of rs) causes[r.cause ?? '-'] = (causes[r.cause ?? '-'] ?? 0) + 1
    const others: any = {}
    for (const r of rs) for (const o of r.others) others[o] = (others[o] ?? 0) + 1
    const early: any = {}
    for (const r of rs) for (const o of r.early) early[o] = (early[o] ?? 0) + 1
    console.log(
      name.padEnd(22),
      'seen',
      `${d.length}/${rs.length}`,
      'in time',
      d.filter((x) => x <= 24).length,
      'median',
      q(d, 0.5).toFixed(1),
      'p90',
      q(d, 0.9).toFixed(1),
      'max',
      Math.max(...d, 0).toFixed(1),
      'wrong',
      rs.filter((r) => r.wrongCause).length,
      JSON.stringify(causes),
      Object.keys(others).length ? `others ${JSON.stringify(others)}` : '',
      Object.keys(early).length ? `early ${JSON.stringify(early)}` : '',
      `${((performance.now() - t) / rs.length).toFixed(0)}ms`,
    )
    if (verbose)
      for (const r of rs)
        console.log(
          '   ',
          r.kind,
          r.seed,
          r.delayHours?.toFixed(1),
          r.cause,
          r.wrongCause ? 'WRONG' : '',
          r.others.join(' '),
        )
  }
