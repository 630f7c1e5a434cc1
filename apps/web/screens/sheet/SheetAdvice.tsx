'use client'
import { CAUTIONS } from '@sightglass/chemistry'
import type { Body } from '@sightglass/contract'
import { useMemo } from 'react'
import { AdviceNote } from '../../shared/Advice.tsx'
import type { Advice } from '../../shared/advice.ts'
import { knownOf } from '../../shared/known.ts'
import { ProblemNote } from '../../shared/Problem.tsx'
import { SeverityLabel } from '../../shared/Severity.tsx'
import { useUnits } from '../../shared/Units.tsx'
import { useCall } from '../../shared/useCall.ts'
import { optionsOnSite } from '../../shared/useOnSite.ts'
import { useSettled } from '../../shared/useSettled.ts'
import { sheetAdvice } from './advice.ts'
import { type Sheet, sheetInSystem } from './sheet.ts'

/** What the lines mean, body by body, once they have stood still for a moment. */
export function SheetAdvice({ sheet, bodies, zone }: { sheet: Sheet; bodies: Body[]; zone: string }) {
  const system = useUnits()
  const settled = useSettled(sheet)
  const { data, error } = useCall('getSnapshots', { query: { bodyId: bodies.map(({ id }) => id) } })
  const advised = useMemo(() => {
    if (!data) return []
    const given = { zone, nowMs: Date.now(), optionsOf: optionsOfBody }
    return sheetAdvice(sheetInSystem(settled, system), bodies, (bodyId) => knownOf(data, bodyId), given)
  }, [data, settled, system, bodies, zone])
  return (
    <section className="sheet-advice" aria-labelledby="advice">
      <h2 id="advice">What these numbers mean</h2>
      <p className="not-stored">Worked out from what is typed; not yet stored.</p>
      {error && !data && <ProblemNote error={error}> The sheet can be stored all the same.</ProblemNote>}
      {advised.length === 0 && !error && (
        <p className="faint">Type values into a line, and what follows from them stands here.</p>
      )}
      {advised.map(({ bodyId, name, advice }) => (
        <OfBody key={bodyId} name={name} advice={advice} />
      ))}
      {advised.length > 0 && <p className="caution-line">{CAUTIONS.localCodeFirst}</p>}
    </section>
  )
}

const optionsOfBody = (bodyId: string, { snapshot }: { snapshot: Parameters<typeof optionsOnSite>[1] }) =>
  optionsOnSite(bodyId, snapshot)

function OfBody({ name, advice }: { name: string; advice: Advice }) {
  if (advice.state !== 'given')
    return (
      <p>
        <strong>{name}</strong>: {advice.state === 'held' && advice.why}
      </p>
    )
  return (
    <details className="sheet-advice-body">
      <summary>
        <strong>{name}</strong> would stand: <SeverityLabel severity={advice.severity} />{' '}
        {advice.findings.map(({ title }) => title).join(', ')}
      </summary>
      <AdviceNote advice={advice} />
    </details>
  )
}
