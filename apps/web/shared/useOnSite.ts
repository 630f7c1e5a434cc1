'use client'
import {
  CHEMICAL_KEYS,
  CHEMICALS,
  type Chemical,
  type ChemicalKey,
  chemicalsOf,
  type PlanOptions,
  type Snapshot,
} from '@sightglass/chemistry'
import { useMemo } from 'react'
import { readStored, useStored } from './stored.ts'

export interface OnSite {
  /** At hand, the preferred ones first. */
  chemicals: readonly Chemical[]
  /** By the reader's own choice rather than by the drums. */
  chosen: boolean
  /** For `planFor`. */
  options: PlanOptions
  toggle: (key: ChemicalKey) => void
  byDrums: () => void
}

/** The chemicals at hand for a body: what its drums hold and what is usual, or what the reader said, kept in this browser. */
export function useOnSite(bodyId: string, snapshot: Snapshot | null): OnSite {
  const kept = useStored<ChemicalKey[] | null>(keyOf(bodyId), null)
  const { chemicals, options } = useMemo(() => atHand(kept.value, snapshot), [kept.value, snapshot])
  const keys = chemicals.map(({ key }) => key)
  return {
    chemicals,
    chosen: kept.value !== null,
    options,
    toggle: (key) => kept.set(keys.includes(key) ? keys.filter((other) => other !== key) : [...keys, key]),
    byDrums: () => kept.set(null),
  }
}

const keyOf = (bodyId: string) => `onSite.${bodyId}`

function atHand(keys: readonly string[] | null, snapshot: Snapshot | null): Pick<OnSite, 'chemicals' | 'options'> {
  const usual = snapshot ? chemicalsOf(snapshot).chemicals : []
  const own = keys && chosenOf(keys, usual)
  return { chemicals: own ?? usual, options: own ? { chemicals: own } : {} }
}

/** The same for one of many bodies: what this browser keeps, read once. */
export const optionsOnSite = (bodyId: string, snapshot: Snapshot): PlanOptions =>
  atHand(readStored<string[]>(keyOf(bodyId)), snapshot).options

/** The usual ones come first, being preferred; a chemical that the catalogue no longer knows is passed over. */
export function chosenOf(keys: readonly string[], usual: readonly Chemical[]): readonly Chemical[] {
  const order = new Set([...usual.map(({ key }) => key), ...CHEMICAL_KEYS])
  return [...order].filter((key) => keys.includes(key)).map((key) => CHEMICALS[key])
}
