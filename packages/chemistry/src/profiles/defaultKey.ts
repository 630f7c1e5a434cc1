/** The profile that a facility is judged by until another is chosen; apart from the profiles, which no form needs whole. */
export const DEFAULT_PROFILE_KEY = 'cdc-mahc'
