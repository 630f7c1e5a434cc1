import { type Finding, followFindings } from '@sightglass/chemistry'
import { describe, expect, it } from 'vitest'
import { judge, withValues } from '../support.ts'

const findings = (values: Parameters<typeof withValues>[0]) => judge(withValues(values)).findings
const named = (all: readonly Pick<Finding, 'kind'>[]) => all.map(({ kind }) => kind)

describe('the life of findings', () => {
  it('opens what is new, sees again what stays, closes what is gone', () => {
    const before = findings({ ph: 7.9, totalAlkalinityMgL: 40 })
    const after = findings({ ph: 7.9, freeChlorineMgL: 0.5, totalChlorineMgL: 0.5 })
    const { opened, seen, closed } = followFindings(before, after)
    expect(named(opened)).toEqual(['freeChlorineLow'])
    expect(seen.map(({ finding }) => finding.kind)).toContain('phHigh')
    expect(named(closed)).toContain('alkalinityLow')
  })

  it('keeps the identity of what was known and takes the newest words', () => {
    const known = [{ id: 'f1', kind: 'phHigh', subject: '' }] as const
    const { seen } = followFindings(known, findings({ ph: 8.2 }))
    expect(seen[0]?.known.id).toBe('f1')
    expect(seen[0]?.finding.severity).toBe('close')
  })

  it('tells two drums apart', () => {
    const low = (subject: string) => ({ ...(findings({ ph: 7.9 })[0] as Finding), kind: 'drumLow' as const, subject })
    const { opened, seen, closed } = followFindings([low('a')], [low('b')])
    expect([opened.length, seen.length, closed.length]).toEqual([1, 0, 1])
  })

  it('has nothing to say of nothing', () => {
    expect(followFindings([], [])).toEqual({ opened: [], seen: [], closed: [] })
  })
})
