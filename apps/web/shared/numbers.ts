import { plainNumber } from '@sightglass/chemistry'

export { plainNumber }

export const whole = (value: number) => plainNumber(value, 0)

/** `1 body`, `12 bodies` */
export const counted = (count: number, one: string, many = `${one}s`) => `${whole(count)} ${count === 1 ? one : many}`

export const percent = (share: number) => `${Math.round(share * 100)} %`

export function bytes(count: number) {
  if (count < 1000) return `${count} bytes`
  if (count < 1e6) return `${plainNumber(count / 1e3, 1)} kB`
  return `${plainNumber(count / 1e6, 1)} MB`
}

export type Typed = { state: 'empty' } | { state: 'number'; value: number } | { state: 'wrong'; message: string }

/** Reads what a person typed: 7.4, 7,4 and 1,200 are numbers; a sign of any kind is one; anything else is said to be wrong. */
export function typedNumber(text: string): Typed {
  const bare = text.trim().replace(/[−–]/, '-').replace(/\s/g, '')
  if (bare === '') return { state: 'empty' }
  const thousands = /^-?\d{1,3}(,\d{3})+(\.\d+)?$/.test(bare)
  const plain = thousands ? bare.replaceAll(',', '') : bare.replace(/^(-?\d*),(\d+)$/, '$1.$2')
  if (!/^-?(\d+\.?\d*|\.\d+)$/.test(plain)) return { state: 'wrong', message: `“${text.trim()}” is not a number` }
  return { state: 'number', value: Number(plain) }
}
