import { readFileSync } from 'node:fs'
import { type Finding, FURTHER_SHARE, renderPhrase, SCORE_BANDS, standingOf } from '@sightglass/chemistry'
import { describe, expect, it } from 'vitest'
import { controller, GOOD, HYPOCHLORITE_PUMP, hours, judge, snapshot, still, tested, withValues } from '../support.ts'

const page = readFileSync(new URL('../../../docs/scoring.md', import.meta.url), 'utf8')

/** The worked example of docs/scoring.md: a spa at half past one. */
const example = judge(
  snapshot({
    body: { useClass: 'spa' },
    tests: tested({ ...GOOD, freeChlorineMgL: 1.5, totalChlorineMgL: 2.1, ph: 7.9, totalAlkalinityMgL: 190 }),
    feeders: [HYPOCHLORITE_PUMP],
    controller: controller(
      { orpMv: 690, ph: 7.9 },
      hours(24, { orpMv: still(690), ph: still(7.9), sanitizerFeedMin: 24 }),
    ),
  }),
)

describe('the worked example in docs/scoring.md', () => {
  const rows = [...page.matchAll(/^\| (.+?) \| `(\w+)` \| (\w+) \| (\d+) \| (\d+) \|$/gm)]

  it('lists the findings in the order judged, each with what it takes and what is left', () => {
    expect(rows.map(([, , kind, severity]) => [kind, severity])).toEqual(
      example.findings.map(({ kind, severity }) => [kind, severity]),
    )
    expect(rows.map(([, sentence]) => sentence)).toEqual(
      example.findings.map(({ sentence }) => renderPhrase(sentence, 'us')),
    )
    let before: (typeof example.findings)[number][] = []
    let left = 100
    for (const [, , kind, , taken, then] of rows) {
      const finding = example.findings.find((one) => one.kind === kind)
      if (!finding) throw new Error(`no ${kind}`)
      before = [...before, finding]
      const score = standingOf(before).score as number
      expect(Number(then), kind).toBe(score)
      expect(Number(taken), kind).toBe(left - score)
      left = score
    }
    expect(left).toBe(example.standing.score)
  })

  it('sums the parts of each family', () => {
    const parts = [...page.matchAll(/^\| (sanitizer|balance|feed|hazard|supply|evidence) \| (\d+) \|$/gm)]
    expect(parts.map(([, family, taken]) => [family, Number(taken)])).toEqual(
      example.standing.parts.map(({ family, taken }) => [family, taken]),
    )
    expect(page).toContain(`score ${example.standing.score}`)
  })

  it('prints the bands and shares that the code uses', () => {
    for (const [severity, { best, worst }] of Object.entries(SCORE_BANDS)) {
      expect(page).toMatch(new RegExp(`\\| ${severity} \\| ${best} \\| ${worst} \\|`))
    }
    for (const [severity, share] of Object.entries(FURTHER_SHARE)) {
      expect(page).toContain(`| ${severity} | 1/${1 / share} |`)
    }
  })
})

describe('the score', () => {
  it('is 100 with no finding', () => {
    expect(judge(snapshot()).standing).toEqual({ severity: 'fine', score: 100, parts: [] })
  })

  it('names each kind once in the part of its family, whatever it took', () => {
    const low = (id: string) => ({ kind: 'drumLow', subject: id, family: 'supply', severity: 'act' }) as Finding
    expect(standingOf([low('a'), low('b')]).parts).toEqual([{ family: 'supply', taken: 37, because: ['drumLow'] }])
  })

  it.each([
    ['watch', { totalAlkalinityMgL: 190, calciumHardnessMgL: 200 }, 90],
    ['act', { ph: 7.9, calciumHardnessMgL: 200 }, 70],
    ['close', { freeChlorineMgL: 0.5, totalChlorineMgL: 0.5 }, 40],
  ] as const)('is at the top of its band with one finding: %s', (severity, values, score) => {
    expect(judge(withValues(values)).standing).toMatchObject({ severity, score })
  })
})
