import type { triageQuery } from '@sightglass/contract'
import type { z } from 'zod'
import type { Deps } from '../../platform/context.ts'
import { containsPattern } from '../../platform/search.ts'
import { JsonText } from '../../platform/serve.ts'
import { selectTriage } from './queries.ts'

/** The morning list. It reads what is already assessed and computes nothing. */
export const listTriage = async ({ database, now }: Deps, { q, ...filter }: z.output<typeof triageQuery>) =>
  new JsonText(await selectTriage(database.pool, { ...filter, pattern: containsPattern(q), at: now() }))
