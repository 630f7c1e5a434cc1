import type { CodeProfile } from '../profile.ts'
import { cdcMahc } from './cdcMahc.ts'
import { usCa } from './usCa.ts'
import { usDc } from './usDc.ts'

/** The published profiles. A company makes its own from one with `deriveProfile`. */
export const PROFILES: readonly CodeProfile[] = [cdcMahc, usCa, usDc]

export const DEFAULT_PROFILE_KEY = cdcMahc.key

/** A published profile by its key; undefined when there is none of that key (a company's own are kept elsewhere). */
export const profileByKey = (key: string): CodeProfile | undefined => PROFILES.find((profile) => profile.key === key)
