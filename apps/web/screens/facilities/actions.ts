import type { Thing } from './kinds.ts'

/** What a person does to the plant; the parts of the page ask for it, the page carries it out. */
export interface PlantActions {
  add: (thing: Thing, belongsTo: Record<string, string>) => void
  edit: (thing: Thing, stored: object & { id: string }) => void
  retire: (thing: Thing, stored: object & { id: string }, name: string) => void
  level: (drumId: string, name: string) => void
}
