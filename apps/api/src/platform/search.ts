/** What a person typed as a pattern for LIKE: their % and _ are letters, not wildcards. Null when nothing was typed. */
export const containsPattern = (typed: string | undefined) =>
  typed ? `%${typed.replace(/[\\%_]/g, (letter) => `\\${letter}`)}%` : null
