import type { CodeProfile } from '../profile.ts'
import { auVic } from './auVic.ts'
import { caQc } from './caQc.ts'
import { cdcMahc } from './cdcMahc.ts'
import { usAzPima } from './usAzPima.ts'
import { usCa } from './usCa.ts'
import { usDc } from './usDc.ts'
import { usFl } from './usFl.ts'
import { usMd, usMdSemipublic } from './usMd.ts'
import { usNc } from './usNc.ts'
import { usNy } from './usNy.ts'
import { usTxMansfield } from './usTxMansfield.ts'

/** The published profiles, the default first. A company makes its own from one with `deriveProfile`. */
export const PROFILES: readonly CodeProfile[] = [
  cdcMahc,
  usCa,
  usDc,
  usFl,
  usTxMansfield,
  usMd,
  usMdSemipublic,
  usNy,
  usNc,
  usAzPima,
  caQc,
  auVic,
]

/** A published profile by its key; undefined when there is none of that key (a company's own are kept elsewhere). */
export const profileByKey = (key: string): CodeProfile | undefined => PROFILES.find((profile) => profile.key === key)
