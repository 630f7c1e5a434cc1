import type { Detection } from '@sightglass/contract'

type Encoding = Detection['encoding']

/** How the bytes of a file stand for letters; null when they are no text. */
export function detectEncoding(head: Buffer): { encoding: Encoding; byteOrderMark: boolean } | null {
  for (const [mark, encoding] of MARKS)
    if (head.subarray(0, mark.length).equals(mark)) return { encoding, byteOrderMark: true }
  const wide = detectWide(head)
  if (wide) return { encoding: wide, byteOrderMark: false }
  if (looksBinary(head)) return null
  return { encoding: isUtf8(head) ? 'utf-8' : 'windows-1252', byteOrderMark: false }
}

const MARKS: [Buffer, Encoding][] = [
  [Buffer.from([0xef, 0xbb, 0xbf]), 'utf-8'],
  [Buffer.from([0xff, 0xfe]), 'utf-16le'],
  [Buffer.from([0xfe, 0xff]), 'utf-16be'],
]

/** Western text in UTF-16 has a zero in every other place. */
function detectWide(head: Buffer): Encoding | null {
  const places = head.subarray(0, head.length - (head.length % 2))
  let even = 0
  let odd = 0
  for (let at = 0; at < places.length; at += 2) {
    if (places[at] === 0) even++
    if (places[at + 1] === 0) odd++
  }
  const half = places.length / 2
  if (half >= 2 && odd > half * 0.7 && even < half * 0.05) return 'utf-16le'
  if (half >= 2 && even > half * 0.7 && odd < half * 0.05) return 'utf-16be'
  return null
}

/** Text has no zeros and hardly any control characters. */
function looksBinary(head: Buffer): boolean {
  let controls = 0
  for (const byte of head) {
    if (byte === 0) return true
    if (byte < 32 && byte !== 9 && byte !== 10 && byte !== 13 && byte !== 12) controls++
  }
  return controls > head.length * 0.02
}

function isUtf8(head: Buffer): boolean {
  try {
    // a letter may be cut at the end of the head
    new TextDecoder('utf-8', { fatal: true }).decode(head, { stream: true })
    return true
  } catch {
    return false
  }
}
