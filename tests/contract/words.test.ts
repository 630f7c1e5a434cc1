// What a refusal says where a schema has no message of its own.
import { layout, paging, readingsCreate, samplePush } from '@sightglass/contract'
import { describe, expect, it } from 'vitest'
import { z } from 'zod'

const messagesOf = (schema: z.ZodType, given: unknown) =>
  schema.safeParse(given).error?.issues.map(({ message }) => message)

describe('a refusal', () => {
  it.each<[z.ZodType, unknown, string]>([
    [z.object({}), undefined, 'must be given'],
    [z.object({}), [], 'must be an object'],
    [z.object({}), null, 'must be an object'],
    [z.string(), 5, 'must be a text'],
    [z.number(), '5', 'must be a number'],
    [z.coerce.number(), 'many', 'must be a number'],
    [z.number().int(), 1.5, 'must be a whole number'],
    [z.boolean(), 'no', 'must be true or false'],
    [z.array(z.string()), {}, 'must be a list'],
    [z.enum(['a', 'b', 'c']), 'd', 'is not one of a, b, c'],
    [z.enum(['a', 'b', 'c']), undefined, 'must be given'],
    [z.literal('a'), 'b', 'must be a'],
    [z.number().max(500), 501, 'must be at most 500'],
    [z.number().min(1), 0, 'must be at least 1'],
    [z.number().positive(), 0, 'must be above 0'],
    [z.number().lt(5), 5, 'must be under 5'],
    [z.string().max(3), 'long', 'must have at most 3 characters'],
    [z.string().min(1), '', 'must not be empty'],
    [z.string().length(2), 'a', 'must have exactly 2 characters'],
    [z.array(z.string()).min(1), [], 'must not be empty'],
    [z.array(z.string()).min(2), [], 'must have at least 2 entries'],
    [z.array(z.string()).max(1), ['a', 'b'], 'must have at most 1 entry'],
    [z.email(), 'office', 'is not an e-mail address'],
    [z.string().regex(/^a$/), 'b', 'is not in the right form'],
    [z.number().multipleOf(5), 7, 'must be a multiple of 5'],
    [z.strictObject({}), { a: 1 }, 'does not know “a”'],
    [z.union([z.string(), z.number()]), true, 'has none of the forms that it may have'],
  ])('case %#', (schema, given, message) => {
    expect(messagesOf(schema, given)).toEqual([message])
  })

  it('leaves alone what a schema says itself', () => {
    expect(messagesOf(z.number('pH must be a number'), undefined)).toEqual(['pH must be a number'])
    expect(messagesOf(z.string().min(1, 'must say why'), '')).toEqual(['must say why'])
  })

  it.each<[z.ZodType, unknown]>([
    [samplePush, undefined],
    [samplePush, {}],
    [readingsCreate, { readings: [{}] }],
    [layout, { time: {}, columns: [{}] }],
    [paging, { limit: '501', offset: 'x' }],
  ])('never speaks the library’s own words, case %#', (schema, given) => {
    expect(messagesOf(schema, given)?.length).toBeGreaterThan(0)
    expect(messagesOf(schema, given)?.join()).not.toMatch(/invalid|expected|received|too (big|small)/i)
  })
})
