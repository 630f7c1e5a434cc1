import { assessDue } from '../capabilities/assessment/index.ts'
import type { Context } from '../platform/context.ts'

/** Starts what runs by the clock; the answer stops it and waits for what is under way. */
export function startSchedule(context: Context): () => Promise<void> {
  const { assessEveryS } = context.config
  if (assessEveryS === 0) return async () => {}
  let stopping = false
  let underWay: Promise<void> = Promise.resolve()
  let timer: NodeJS.Timeout | undefined

  const look = async () => {
    try {
      while (!stopping && (await assessDue(context)) > 0);
    } catch (error) {
      context.logger.error({ err: error }, 'assessing what is due failed; the bodies stay due')
    }
    if (!stopping) timer = setTimeout(next, assessEveryS * 1000)
  }
  const next = () => {
    underWay = look()
  }
  next()
  return () => {
    stopping = true
    clearTimeout(timer)
    return underWay
  }
}
