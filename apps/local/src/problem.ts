/** Something a person can mend. Printed without a stack: what happened, then how to mend it. */
export class Problem extends Error {
  constructor(
    what: string,
    readonly mend: string,
    options?: ErrorOptions,
  ) {
    super(what, options)
    this.name = 'Problem'
  }
}

export function describe(error: unknown): string {
  if (error instanceof Problem) return `${error.message}\n${indent(error.mend)}`
  if (error instanceof Error) return error.stack ?? error.message
  return String(error)
}

export const messageOf = (error: unknown) => (error instanceof Error ? error.message : String(error))

export const codeOf = (error: unknown) => (error as { code?: string } | null)?.code

const indent = (text: string) => text.replace(/^/gm, '  ')
