import type { EvidenceLine } from '../finding.ts'
import type { Measured } from '../snapshot.ts'
import type { Facts } from './facts.ts'
import { shown } from './make.ts'

/** What was tested, or else what the controller shows while water flows past its probes; null when nobody knows. */
export function testedOrProbed({ snapshot, latest, flow }: Facts, thing: 'ph' | 'tempC'): Measured | null {
  const tested = snapshot.tests[thing]
  if (tested) return tested
  const value = latest?.[thing] ?? null
  return latest && value !== null && flow !== 'off' ? { value, atMs: latest.atMs } : null
}

// what a pool holds when nobody measured it; salt pools run at about 3,000–4,000. Common practice, no source
const ASSUMED_SOLIDS_MGL = 1000
const ASSUMED_SALT_POOL_SOLIDS_MGL = 4000
const SOLIDS_BESIDE_SALT_MGL = 500

/** Dissolved solids as measured, from salt, or assumed: then without a time. */
export function solidsOf(facts: Facts): EvidenceLine {
  const { tdsMgL, saltMgL } = facts.snapshot.tests
  if (tdsMgL) return shown('Dissolved solids', tdsMgL.value, 'mg/L', tdsMgL.atMs, 'test')
  if (saltMgL) {
    return shown('Dissolved solids, from salt', saltMgL.value + SOLIDS_BESIDE_SALT_MGL, 'mg/L', saltMgL.atMs, 'derived')
  }
  const salty = facts.body.sanitizerSystem === 'saltGenerator'
  return shown(
    'Dissolved solids, assumed',
    salty ? ASSUMED_SALT_POOL_SOLIDS_MGL : ASSUMED_SOLIDS_MGL,
    'mg/L',
    null,
    'derived',
  )
}
