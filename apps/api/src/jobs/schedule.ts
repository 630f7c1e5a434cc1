import type { Context } from '../app.ts'

/** Starts what runs by the clock; the answer stops it and waits for what is under way. */
export function startSchedule(_context: Context): () => Promise<void> {
  return async () => {}
}
