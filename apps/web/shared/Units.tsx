'use client'
import { createContext, type ReactNode, useContext, useState } from 'react'
import type { System } from './measure.ts'

const Units = createContext<{ system: System; setSystem: (system: System) => void }>({
  system: 'us',
  setSystem: () => undefined,
})

/** The reader's units, kept in a cookie so that the server's first page shows them too. */
export function UnitsProvider({ initial, children }: { initial: System; children: ReactNode }) {
  const [system, set] = useState(initial)
  const setSystem = (next: System) => {
    // biome-ignore lint/suspicious/noDocumentCookie: the Cookie Store API is not in every browser, and needs https
    document.cookie = `units=${next}; path=/; max-age=31536000; samesite=lax`
    set(next)
  }
  return <Units value={{ system, setSystem }}>{children}</Units>
}

export const useUnits = () => useContext(Units).system

export function UnitsSwitch() {
  const { system, setSystem } = useContext(Units)
  return (
    <label className="units-switch">
      <span>Units</span>
      <select value={system} onChange={(event) => setSystem(event.target.value as System)}>
        <option value="us">US (°F, gal)</option>
        <option value="metric">metric (°C, L)</option>
      </select>
    </label>
  )
}
