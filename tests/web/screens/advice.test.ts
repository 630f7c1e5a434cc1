import { CHEMICALS, planFor } from '@sightglass/chemistry'
import type { Reading } from '@sightglass/contract'
import { describe, expect, it } from 'vitest'
import { prepareRetest } from '../../../apps/web/screens/reading/retest.ts'
import { sheetAdvice } from '../../../apps/web/screens/sheet/advice.ts'
import type { Sheet, SheetRow } from '../../../apps/web/screens/sheet/sheet.ts'
import { type Advice, adviceOn } from '../../../apps/web/shared/advice.ts'
import { emptyDraft, type Texts } from '../../../apps/web/shared/entry.ts'
import { type Known, knownOf, withoutTest, withTest } from '../../../apps/web/shared/known.ts'
import { HOUR, known, MINUTE, NOW, ZONE } from '../support.ts'

const draft = (texts: Texts, minutesAgo = 1, part: object = {}) => ({
  ...emptyDraft('id', NOW - minutesAgo * MINUTE, ZONE, 'D. Fenn', 'us'),
  texts,
  ...part,
})
const adviceFor = (texts: Texts, of: Known = known(), minutesAgo = 1, part: object = {}): Advice =>
  adviceOn([draft(texts, minutesAgo, part)], of, {
    zone: ZONE,
    system: 'us',
    nowMs: NOW,
    options: {},
    present: of.snapshot,
  })
const given = (advice: Advice) => {
  if (advice.state !== 'given') throw new Error(`no advice was given: ${JSON.stringify(advice)}`)
  return advice
}

describe('advice on a test that is being typed', () => {
  it('is what a stored test of these numbers would be judged to be, with the first doses', () => {
    const advice = given(adviceFor({ freeChlorineMgL: '0.4', totalChlorineMgL: '0.5', ph: '8.3' }))
    expect(advice.severity).toBe('close')
    expect(advice.findings.map(({ title }) => title)).toEqual(expect.arrayContaining(['Free chlorine low', 'pH high']))
    expect(advice.findings[0]?.sentence).toContain('0.4\u00a0ppm')
    expect(advice.first).toContain('Keep bathers out until a retest is back within the limit.')
    expect(advice.steps[0]?.what).toContain('Sodium hypochlorite')
    expect(advice.steps[0]?.amount).toMatch(/gal|fl oz/)
    expect(advice.cautions.join()).toContain('chlorine gas')
  })

  it('says what a better test mends', () => {
    const bad = known({ freeChlorineMgL: 0.3, totalChlorineMgL: 0.4 })
    const advice = given(adviceFor({ freeChlorineMgL: '2.5', totalChlorineMgL: '2.6', ph: '7.4' }, bad))
    expect(advice).toMatchObject({
      severity: 'fine',
      findings: [],
      cleared: ['Free chlorine low'],
      steps: [],
      cautions: [],
    })
  })

  it('speaks of the typed values only, not of what was wrong before', () => {
    const advice = given(adviceFor({ ph: '8.3' }, known({ calciumHardnessMgL: 60 })))
    expect(advice.findings.map(({ title }) => title)).toContain('pH high')
    expect(advice.findings.map(({ title }) => title)).not.toContain('Calcium hardness low')
  })

  it('says what must be tested before a dose can be told', () => {
    const never = known({
      freeChlorineMgL: undefined,
      totalChlorineMgL: undefined,
      ph: undefined,
      totalAlkalinityMgL: undefined,
      calciumHardnessMgL: undefined,
      tempC: undefined,
      tdsMgL: undefined,
    })
    const advice = given(adviceFor({ freeChlorineMgL: '0.4' }, never))
    expect(advice.steps).toEqual([])
    expect(advice.missing.join()).toMatch(/Test pH first.*Test total alkalinity first/)
  })

  it.each([
    ['an impossible value', { ph: '77', freeChlorineMgL: '0.2' }, /pH 77 is outside 0 to 14\. Did you mean 7\.7\?/],
    ['no number', { ph: 'seven' }, /“seven” is not a number/],
    ['total chlorine under free', { freeChlorineMgL: '3', totalChlorineMgL: '1' }, /swapped/],
  ])('is withheld from %s', (_what, texts, why) => {
    const advice = adviceFor(texts)
    expect(advice.state).toBe('held')
    expect(advice.state === 'held' && advice.why).toMatch(why)
  })

  it('is withheld where the time lies in the future or is none', () => {
    expect(adviceFor({ ph: '7.4' }, known(), -60)).toMatchObject({ state: 'held' })
    expect(adviceFor({ ph: '7.4' }, known(), 0, { at: 'then' })).toMatchObject({ state: 'held' })
  })

  it('is withheld from an older test than those that are stored, given where one value is new', () => {
    const older = adviceFor({ ph: '8.3' }, known(), 180)
    expect(older.state === 'held' && older.why).toContain('Newer tests')
    expect(
      given(adviceFor({ ph: '8.3', cyanuricAcidMgL: '60' }, known(), 180)).findings.map(({ title }) => title),
    ).toEqual(['Cyanuric acid not allowed here', 'Disinfection slow'])
  })

  it('is nothing where nothing is typed', () => {
    expect(adviceFor({})).toEqual({ state: 'nothing' })
    expect(adviceFor({ ph: ' ', displayOrpMv: '700' })).toEqual({ state: 'nothing' })
  })

  it('names what is possible but rare, until it is said to be meant', () => {
    expect(given(adviceFor({ ph: '9.1' })).unusual).toEqual(['pH 9.1'])
    expect(given(adviceFor({ ph: '9.1' }, known(), 1, { confirmed: ['ph'] })).unusual).toEqual([])
  })

  it('survives numbers at the ends of what can be stored', () => {
    for (const texts of [
      { ph: '0' },
      { ph: '14', totalAlkalinityMgL: '0' },
      { tempC: '140' },
      { cyanuricAcidMgL: '1000' },
    ])
      expect(adviceFor(texts).state).toBe('given')
  })

  it('is in the units in which it was typed', () => {
    const hot = given(adviceFor({ tempC: '108' }))
    expect(hot.findings[0]?.sentence).toContain('108\u00a0°F')
  })
})

describe('a test that is corrected', () => {
  const of = known({ ph: 8.3 })
  const reading = (id: string, hoursAgo: number, values: object) =>
    ({ id, at: new Date(NOW - hoursAgo * HOUR).toISOString(), values }) as Reading

  it('no longer counts, and what was known before counts again', () => {
    const wrong = reading('wrong', 1, { ph: 8.3, totalAlkalinityMgL: 100 })
    const { tests, lastTestAtMs } = withoutTest(of.snapshot, wrong, [wrong, reading('before', 5, { ph: 7.5 })])
    expect(tests.ph).toEqual({ value: 7.5, atMs: NOW - 5 * HOUR })
    expect(tests).not.toHaveProperty('totalAlkalinityMgL')
    expect(tests.freeChlorineMgL?.atMs).toBe(NOW - HOUR)
    expect(lastTestAtMs).toBe(NOW - HOUR)
  })

  it('leaves alone what a newer test has replaced', () => {
    const old = reading('old', 9, { ph: 6.9 })
    expect(withoutTest(of.snapshot, old, [old]).tests.ph?.value).toBe(8.3)
    expect(withTest(of.snapshot, { ph: 6.9 }, NOW - 9 * HOUR).tests.ph?.value).toBe(8.3)
  })
})

describe('what the server knows of a body', () => {
  const { snapshot, profile } = known()
  const answer = (part: object) => ({
    at: new Date(NOW).toISOString(),
    bodies: [{ bodyId: 'a', profileKey: profile.key, snapshot, ...part, equipment: [] }],
    profiles: [profile as never],
  })
  it('is null for a retired body, for another one, and where its code profile is gone', () => {
    expect(knownOf(answer({}), 'a')?.snapshot).toBe(snapshot)
    expect(knownOf(answer({}), 'b')).toBeNull()
    expect(knownOf(answer({ snapshot: null }), 'a')).toBeNull()
    expect(knownOf(answer({ profileKey: 'gone' }), 'a')).toBeNull()
  })
})

describe('advice on a log sheet', () => {
  const row = (bodyId: string, texts: Texts, time = '05:55'): SheetRow => ({
    id: bodyId + time,
    bodyId,
    time,
    texts,
    confirmed: [],
  })
  const sheet = (...rows: SheetRow[]): Sheet => ({
    facilityId: 'f',
    date: '2026-11-25',
    person: '',
    method: 'dropTest',
    rows,
    columns: ['ph'],
    system: 'us',
  })
  const bodies = [
    { id: 'a', name: 'Lap pool' },
    { id: 'b', name: 'Spa' },
  ]
  const adviceOf = (of: Sheet) =>
    sheetAdvice(of, bodies, (id) => (id === 'gone' ? null : known()), { zone: ZONE, nowMs: NOW, optionsOf: () => ({}) })

  it('stands body by body; a wrong line holds up its own body only; empty and foreign lines say nothing', () => {
    const advised = adviceOf(
      sheet(
        row('a', { ph: '8.3' }),
        row('b', { ph: '77' }),
        row('gone', { ph: '7' }),
        row('', { ph: '7' }),
        row('b', {}),
      ),
    )
    expect(advised.map(({ name, advice }) => [name, advice.state])).toEqual([
      ['Lap pool', 'given'],
      ['Spa', 'held'],
    ])
  })

  it('goes by the later of two lines of one body, in whatever order they stand', () => {
    const [one] = adviceOf(sheet(row('a', { ph: '7.4' }, '05:58'), row('a', { ph: '8.3' }, '05:30')))
    expect(one && given(one.advice).findings).toEqual([])
    const [other] = adviceOf(sheet(row('a', { ph: '8.3' }, '05:58'), row('a', { ph: '7.4' }, '05:30')))
    expect(other && given(other.advice).findings.map(({ title }) => title)).toContain('pH high')
  })
})

describe('a test after a dose', () => {
  const of = known({ totalAlkalinityMgL: 60 })
  const plan = planFor(of.snapshot, of.profile, NOW)
  const bicarbonate = [{ id: '1', chemical: 'sodiumBicarbonate' as const, amount: 26_900, unit: 'kg' }]

  it('should show what the dose brings, within what kit and demand leave open', () => {
    const model = prepareRetest(of.snapshot, plan, bicarbonate, {}, 'metric')
    // 84.01 g of sodium bicarbonate bring 50.04 g as CaCO3: 26.9 kg in 400 m³ are 40 mg/L
    expect(model?.rows.find(({ label }) => label === 'Total alkalinity')).toMatchObject({
      before: '60 mg/L',
      expected: '100 mg/L',
    })
    expect(model?.says).toEqual([])
  })

  it('that shows something else is told what it points to', () => {
    const model = prepareRetest(of.snapshot, plan, bicarbonate, { totalAlkalinityMgL: 61 }, 'metric')
    expect(model?.says.join()).toMatch(/Total alkalinity 61\u00a0mg\/L instead of 100\u00a0mg\/L/)
    expect(prepareRetest(of.snapshot, plan, bicarbonate, { totalAlkalinityMgL: 98 }, 'metric')?.says).toEqual([])
  })

  it('tells nothing without a dose, without the water before, or from an amount that no water holds', () => {
    expect(prepareRetest(of.snapshot, plan, [], {}, 'us')).toBeNull()
    expect(prepareRetest(of.snapshot, { water: null }, bicarbonate, {}, 'us')?.trouble).toContain('missing or too old')
    const flood = [{ id: '1', chemical: CHEMICALS.hydrochloricAcid31.key, amount: 50_000, unit: 'L' }]
    expect(prepareRetest(of.snapshot, plan, flood, {}, 'us')?.trouble).toContain('Look at the amounts')
  })
})
