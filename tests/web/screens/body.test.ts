import type { Overview, StoredFinding } from '@sightglass/contract'
import { describe, expect, it } from 'vitest'
import {
  changeWords,
  groupFindings,
  prepareFinding,
  prepareReadings,
  scoreWords,
  sharedCautions,
} from '../../../apps/web/screens/body/prepare.ts'
import { citationWords } from '../../../apps/web/shared/phrase.ts'

const now = Date.parse('2026-11-25T12:00:00Z')
const finding = (part: Partial<StoredFinding> = {}): StoredFinding => ({
  id: 'f',
  kind: 'phHigh',
  subject: '',
  family: 'balance',
  severity: 'act',
  sentence: {
    text: 'pH {0} is over the maximum of {1}.',
    quantities: [
      { value: 8, unit: 'pH' },
      { value: 7.8, unit: 'pH' },
    ],
  },
  value: { value: 8, unit: 'pH' },
  limit: {
    side: 'max',
    value: 7.8,
    unit: 'pH',
    citation: { authority: 'law', document: 'A Code', edition: '2023', section: '5.7' },
  },
  sinceMs: now - 3_600_000,
  evidence: [{ label: 'pH', quantity: { value: 8, unit: 'pH' }, atMs: now - 3_600_000, source: 'test' }],
  advice: [{ text: 'Lower it.', quantities: [] }],
  bring: [
    { text: 'a pump tube', quantities: [] },
    { text: '{0} of acid', quantities: [{ value: 18.93, unit: 'L' }] },
  ],
  cautions: ['localCodeFirst', 'protectiveEquipment'],
  openedAt: '2026-11-25T11:00:00Z',
  seenAt: '2026-11-25T12:00:00Z',
  closedAt: null,
  ...part,
})
const overview = (part: Partial<Overview> = {}) =>
  ({
    body: { id: 'b' },
    facility: { timeZone: 'America/Chicago' },
    findings: [],
    readings: [],
    standing: null,
    ...part,
  }) as unknown as Overview

describe('a finding', () => {
  it('shows its number, its limit, whose limit it is, since when and by what', () => {
    expect(prepareFinding(finding(), new Set(), 'us', 'America/Chicago', now)).toMatchObject({
      title: 'pH high',
      sentence: 'pH 8.0 is over the maximum of 7.8.',
      limit: 'Limit: at most 7.8. By the published code: A Code, 2023, 5.7.',
      since: 'Since Nov 25, 5:00 am (1 h ago)',
      evidence: [{ label: 'pH', value: '8.0', source: 'test kit, 1 h ago', exact: 'Nov 25, 5:00 am' }],
      advice: ['Lower it.'],
      bring: 'a pump tube; 5\u00a0gal of acid',
    })
  })

  it.each([
    ['law', 'By the published code: A Code.'],
    ['company', 'Set by your own company: A Code.'],
    ['practice', 'Practice of the trade, not law: A Code.'],
  ] as const)('says of %s whose limit it is', (authority, words) => {
    expect(citationWords({ authority, document: 'A Code', edition: '', section: '' })).toBe(words)
  })

  it('stands under its family, in the order of the worst', () => {
    const groups = groupFindings(
      overview({ findings: [finding({ id: '1' }), finding({ id: '2', family: 'supply' }), finding({ id: '3' })] }),
      'us',
      now,
    )
    expect(groups.map(({ title, findings }) => [title, findings.map(({ id }) => id)])).toEqual([
      ['Water balance', ['1', '3']],
      ['Supply', ['2']],
    ])
  })
})

describe('cautions', () => {
  it('that several findings share are said once, none is lost', () => {
    const findings = [finding(), finding({ id: '2', cautions: ['protectiveEquipment', 'clearBathersBeforeFlow'] })]
    const shared = sharedCautions(findings)
    expect([...shared].sort()).toEqual(['localCodeFirst', 'protectiveEquipment'])
    const own = prepareFinding(findings[1] as StoredFinding, shared, 'us', 'UTC', now).cautions
    expect(own).toHaveLength(1)
    expect(own[0]).toContain('bathers out before flow returns')
  })
})

describe('the score', () => {
  it('shows its parts', () => {
    const standing = {
      severity: 'act' as const,
      score: 55,
      parts: [
        { family: 'supply' as const, taken: 10, because: [] },
        { family: 'sanitizer' as const, taken: 35, because: [] },
        { family: 'evidence' as const, taken: 0, because: [] },
      ],
    }
    expect(scoreWords(overview({ standing }))).toEqual({
      score: '55',
      working: '100 − 35 (sanitizer) − 10 (supply) = 55',
    })
  })

  it('is none when nothing recent enough is known, never 0 and never 100', () => {
    expect(scoreWords(overview({ standing: { severity: 'unheard', score: null, parts: [] } }))).toBeNull()
    expect(scoreWords(overview())).toBeNull()
  })
})

describe('what a stored test changed', () => {
  const before = { severity: 'act' as const, score: 61, what: 'The test is stored.' }
  const standing = (severity: 'act' | 'fine', score: number) => overview({ standing: { severity, score, parts: [] } })
  it('is said with both standings', () => {
    expect(changeWords(before, standing('fine', 98))).toBe(
      'The test is stored. The standing was Act today (61) and is now Fine (98).',
    )
    expect(changeWords(before, standing('act', 61))).toBe('The test is stored. The standing stays Act today (61).')
    expect(changeWords(before, overview())).toContain('not been assessed yet')
  })
})

describe('recent tests', () => {
  it('have a column for what was ever tested, and an empty cell for what was not', () => {
    const test = (id: string, values: object) => ({
      id,
      at: '2026-11-25T11:00:00Z',
      person: 'D. Fenn',
      method: 'dropTest' as const,
      values,
      displayPh: null,
      displayOrpMv: 712,
      note: '',
      replacesId: null,
      reason: null,
      replacedAt: null,
      createdAt: '2026-11-25T11:00:00Z',
      bodyId: 'b',
    })
    const table = prepareReadings(overview({ readings: [test('1', { ph: 7.4 }), test('2', { tempC: 28 })] }), 'us', now)
    expect(table.columns.map(({ title, unit }) => [title, unit])).toEqual([
      ['pH', ''],
      ['Temp', '°F'],
    ])
    expect(table.rows.map(({ cells, display }) => [cells, display])).toEqual([
      [['7.4', ''], '712 mV'],
      [['', '82'], '712 mV'],
    ])
  })
})
