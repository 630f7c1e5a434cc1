import { createRandom } from '@sightglass/chemistry/plant'

/** A UUIDv7 that follows from its time and its name: the same company gets the same ids, seeded again for the same moment. */
export function idFor(atMs: number, name: string): string {
  const random = createRandom(name)
  const hex = (digits: number, value: number) => Math.floor(value).toString(16).padStart(digits, '0')
  const time = hex(12, atMs)
  const part = (digits: number) => hex(digits, random.next() * 16 ** digits)
  const variant = hex(1, 8 + random.next() * 4)
  return `${time.slice(0, 8)}-${time.slice(8)}-7${part(3)}-${variant}${part(3)}-${part(6)}${part(6)}`
}
