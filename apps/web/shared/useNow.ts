'use client'
import { useEffect, useState } from 'react'

/** The time for relative words: first what the server used, so that both draw the same, then the clock every half minute. */
export function useNow(startAt: string | number) {
  const [now, setNow] = useState(() => new Date(startAt).getTime())
  useEffect(() => {
    const tick = () => setNow(Date.now())
    tick()
    const timer = setInterval(tick, 30_000)
    return () => clearInterval(timer)
  }, [])
  return now
}
