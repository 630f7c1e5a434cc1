import type { CodeProfile } from '../profile.ts'

export const PROFILES: readonly CodeProfile[] = []
export const DEFAULT_PROFILE_KEY = 'cdc-mahc'
export const profileByKey = (key: string): CodeProfile | undefined => PROFILES.find((profile) => profile.key === key)
