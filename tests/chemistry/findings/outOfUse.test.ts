import { outOfUseNow, planFor, renderPhrase, type Snapshot } from '@sightglass/chemistry'
import { describe, expect, it } from 'vitest'
import { controller, DAY, drum, feeder, HOUR, hour, hours, judge, kinds, NOW, profile, snapshot } from '../support.ts'

const period = (fromMs: number, toMs: number | null = null) => ({ fromMs, toMs, reason: 'Shut for the winter' })
const shut = (given: Parameters<typeof snapshot>[0] = {}): Snapshot =>
  snapshot({ tests: {}, outOfUse: period(NOW - 20 * DAY), ...given })

describe('a body that is out of use', () => {
  it('has a standing of its own, no findings and no score, although nobody tests it', () => {
    expect(judge(shut())).toEqual({
      findings: [],
      standing: { severity: 'outOfUse', score: null, parts: [] },
      dueAtMs: null,
    })
    expect(kinds(shut({ outOfUse: null }))).toContain('neverTested')
  })

  it('is not closed for standing water, nor alarmed for an empty drum', () => {
    const standing = controller({ flowOn: false, flowLMin: 0 }, hours(24, { noFlowMin: 60 }))
    const empty = drum('sodiumHypochlorite', [{ atMs: NOW - DAY, levelL: 0, deliveredL: 0 }])
    const given = { controller: standing, feeders: [feeder({ role: 'primary', drum: empty })] }
    expect(judge(shut({ ...given, outOfUse: null })).standing.severity).toBe('close')
    expect(judge(shut(given)).standing.severity).toBe('outOfUse')
  })

  it('stands as what is fed into it all the same, because that hurts whoever works there', () => {
    const fed = controller({ flowOn: false, flowLMin: 0, sanitizerFeedPct: 30 }, [
      ...hours(23, { noFlowMin: 60 }),
      hour(0, { noFlowMin: 60, feedWithoutFlowMin: 30 }),
    ])
    const judged = judge(shut({ controller: fed }))
    expect(judged.findings.map(({ kind }) => kind)).toEqual(['feedWithoutFlow'])
    expect(judged.standing.severity).toBe('close')
    const both = judge(
      shut({
        controller: controller({}, hours(24, { bothFeedsMin: 20 })),
        feeders: [
          feeder({ role: 'primary', drum: drum('sodiumHypochlorite') }),
          feeder({ role: 'ph', drum: drum('hydrochloricAcid') }),
        ],
      }),
    )
    expect(both.findings.map(({ kind }) => kind)).toEqual(['acidWithHypochlorite'])
    expect(both.standing).toMatchObject({ severity: 'act', score: 70 })
  })

  it.each([
    ['an hour before', NOW + HOUR, null, false, NOW + HOUR],
    ['from its first moment on', NOW, null, true, null],
    ['up to its end', NOW - DAY, NOW + 1, true, NOW + 1],
    ['not at its end', NOW - DAY, NOW, false, null],
  ] as const)('%s: known ahead, and looked at when it changes', (_when, fromMs, toMs, out, changesAtMs) => {
    const given = shut({ outOfUse: period(fromMs, toMs) })
    const { standing, dueAtMs } = judge(given)
    expect(standing.severity === 'outOfUse').toBe(out)
    expect(outOfUseNow(given, NOW) !== null).toBe(out)
    if (changesAtMs !== null) expect(dueAtMs).toBe(changesAtMs)
  })

  it('is judged at once when it is in use again, and not by old good values', () => {
    expect(judge(snapshot({ outOfUse: period(NOW - 20 * DAY, NOW) })).standing.severity).toBe('fine')
    expect(judge(shut({ outOfUse: period(NOW - 20 * DAY, NOW) })).standing.severity).toBe('unheard')
  })

  it('closes for an incident that is open only when it is in use again', () => {
    const incidents = [{ id: 'a', kind: 'formedStool' as const, atMs: NOW - 2 * HOUR, instruction: null, readings: [] }]
    expect(judge(shut({ incidents })).standing.severity).toBe('outOfUse')
    expect(judge(shut({ incidents, outOfUse: null })).standing.severity).toBe('close')
  })

  it('is given no dose', () => {
    const { plan, missing } = planFor(snapshot({ outOfUse: period(NOW - DAY) }), profile(), NOW)
    expect(plan).toBeNull()
    expect(missing.map((line) => renderPhrase(line, 'us'))).toEqual([
      'The body is out of use: nobody treats its water now.',
    ])
    expect(planFor(snapshot({ outOfUse: period(NOW + DAY) }), profile(), NOW).plan).not.toBeNull()
  })
})
