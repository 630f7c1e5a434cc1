'use client'
import { startTransition, useEffect, useState } from 'react'

const SETTLED_AFTER_MS = 350

/** A value once it has stood still for a moment: what is worked out from it never holds up typing. */
export function useSettled<Value>(value: Value): Value {
  const [settled, settle] = useState(value)
  useEffect(() => {
    const timer = setTimeout(() => startTransition(() => settle(value)), SETTLED_AFTER_MS)
    return () => clearTimeout(timer)
  }, [value])
  return settled
}
