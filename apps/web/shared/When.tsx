import { ago, exactTime } from './time.ts'

/** How long ago, with the exact time of the facility's clock for whoever points at it or has it read aloud. */
export function When({ at, zone, now }: { at: string; zone: string; now: number }) {
  const exact = exactTime(at, zone, now)
  return (
    <time dateTime={at} title={`${exact} (${zone})`} suppressHydrationWarning>
      {ago(at, now)}
      <span className="unseen">, {exact}</span>
    </time>
  )
}
