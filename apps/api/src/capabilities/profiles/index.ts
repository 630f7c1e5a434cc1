export { DEFAULT_PROFILE_KEY } from '@sightglass/chemistry'
export { type KnownProfile, knownProfiles, requireProfile } from './known.ts'
export { registerProfiles } from './routes.ts'
