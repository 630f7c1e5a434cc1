export { DEFAULT_PROFILE_KEY } from '@sightglass/chemistry'
export { inUse, type KnownProfile, knownProfiles, requireProfile, unknownProfile } from './known.ts'
export { showProfile } from './list.ts'
export { registerProfiles } from './routes.ts'
