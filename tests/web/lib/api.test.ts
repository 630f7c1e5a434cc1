import { describe, expect, it } from 'vitest'
import { problemOf, queryOf } from '../../../apps/web/lib/api.ts'

describe('a query', () => {
  it('leaves out what is not given', () => {
    expect(queryOf({ q: undefined, sort: 'worst', area: '' })).toBe('?sort=worst')
    expect(queryOf({})).toBe('')
  })

  it('repeats the words of a list', () =>
    expect(queryOf({ severity: ['close', 'act'] })).toBe('?severity=close&severity=act'))

  it('sends a lone word with a comma twice, because the API splits a single one', () => {
    expect(queryOf({ area: ['North, upper'] })).toBe('?area=North%2C+upper&area=North%2C+upper')
  })
})

describe('a failed answer', () => {
  it('is read as problem details', () => {
    const told = { type: '/problems/conflict', title: 'No', status: 409, detail: 'because', requestId: 'r' }
    expect(problemOf(JSON.stringify(told), 409, '/x')).toEqual(told)
  })

  it('without problem details still says something', () => {
    expect(problemOf('<html>bad gateway</html>', 502, '/x')).toMatchObject({
      status: 502,
      detail: expect.stringContaining('502'),
    })
  })
})
