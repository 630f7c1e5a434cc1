'use client'
import { useCallback, useEffect, useState } from 'react'

/** What this browser keeps: read and write that never throw, since storage may be full, off or hold something foreign. */
export function readStored<Value>(key: string): Value | null {
  try {
    const text = window.localStorage.getItem(`sightglass.${key}`)
    return text === null ? null : (JSON.parse(text) as Value)
  } catch {
    return null
  }
}

export function writeStored(key: string, value: unknown) {
  try {
    if (value === null) window.localStorage.removeItem(`sightglass.${key}`)
    else window.localStorage.setItem(`sightglass.${key}`, JSON.stringify(value))
    return true
  } catch {
    return false
  }
}

/** State that outlives the page. `ready` is false until what was kept has been read. */
export function useStored<Value>(key: string, initial: Value) {
  const [value, setValue] = useState(initial)
  const [ready, setReady] = useState(false)
  useEffect(() => {
    const kept = readStored<Value>(key)
    if (kept !== null) setValue(kept)
    setReady(true)
  }, [key])
  const set = useCallback(
    (next: Value | ((now: Value) => Value)) =>
      setValue((now) => {
        const made = typeof next === 'function' ? (next as (now: Value) => Value)(now) : next
        writeStored(key, made)
        return made
      }),
    [key],
  )
  const forget = useCallback(() => {
    writeStored(key, null)
  }, [key])
  return { value, set, forget, ready }
}

export const usePerson = () => useStored('person', '')
