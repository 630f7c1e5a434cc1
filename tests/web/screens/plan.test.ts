import { CHEMICALS, planFor } from '@sightglass/chemistry'
import { describe, expect, it } from 'vitest'
import { mendedBy, planText, prepareOnSite, preparePlan } from '../../../apps/web/screens/body/plan.ts'
import { groupFindings, sharedCautionLines } from '../../../apps/web/screens/body/prepare.ts'
import type { Known } from '../../../apps/web/shared/known.ts'
import type { System } from '../../../apps/web/shared/measure.ts'
import { chosenOf } from '../../../apps/web/shared/useOnSite.ts'
import { known, NOW, ZONE } from '../support.ts'

const modelOf = (of: Known, system: System = 'us', nowMs = NOW) =>
  preparePlan(of, planFor(of.snapshot, of.profile, nowMs), { system, zone: ZONE, nowMs })
const number = (text: string) => Number(/[\d.,]+/.exec(text)?.[0].replaceAll(',', ''))
const NEEDS_PARTS = { totalAlkalinityMgL: 30, ph: 7.2 }
const wrong = known({ freeChlorineMgL: 0.4, totalChlorineMgL: 0.5, ph: 8.1 })

describe('what to do now', () => {
  it('gives an amount that the arithmetic of available chlorine gives too, in either units', () => {
    const [step] = modelOf(wrong, 'metric').steps
    const [from = 0, to = 0] = (step?.purpose.match(/[\d.]+/g) ?? []).map(Number)
    expect(from).toBe(0.4)
    expect(to).toBeGreaterThan(1)
    // 12.5 trade % is 125 g of available chlorine in a litre, by the definition of trade per cent
    expect(step?.what).toBe('Sodium hypochlorite, 12.5 trade %')
    expect(number(step?.amount ?? '')).toBeCloseTo(((to - from) * 400_000) / 125_000, 0)
    const [us] = modelOf(wrong).steps
    expect(us?.amount).toMatch(/^[\d.]+\u00a0gal$/)
    expect(number(us?.amount ?? '') * 3.785411784).toBeCloseTo(number(step?.amount ?? ''), 0)
    expect(us?.weight).toMatch(/lb$/)
  })

  it('says how long to wait, what to test then and what to expect of it', () => {
    const [step] = modelOf(wrong).steps
    expect(step?.wait).toMatch(/^Wait (\d+\u00a0h)?\u00a0?(\d+\u00a0min)?$/)
    expect(step?.retest).toMatch(/^free chlorine \d/)
    expect(step?.working.length).toBeGreaterThan(0)
    expect(modelOf(wrong).lead).toMatch(/^\d+ steps in this order, about \d+ h/)
  })

  it('splits what would move the water too far into equal parts with the time between', () => {
    const { steps } = modelOf(known(NEEDS_PARTS))
    const split = steps.find(({ parts }) => parts.startsWith('in '))
    expect(split?.parts).toMatch(
      /^in \d+ equal parts of [\d.]+\u00a0(lb|oz), (\d+\u00a0h)?\u00a0?(\d+\u00a0min)? apart$/,
    )
  })

  it('never says a wait shorter than it is, nor five minutes longer', () => {
    const minutes = (text: string) => {
      const [, hours = '0', rest = '0'] = /(?:(\d+)\u00a0h)?\u00a0?(?:(\d+)\u00a0min)?(?: apart)?$/.exec(text) ?? []
      return 60 * Number(hours) + Number(rest)
    }
    for (const flowLMin of [7000, 2800, 1190, 1100, null]) {
      const of = known(NEEDS_PARTS, { body: { flowLMin } })
      const { plan } = planFor(of.snapshot, of.profile, NOW)
      const shown = modelOf(of).steps
      expect(plan?.steps.some((step) => step.kind === 'dose' && step.parts > 1)).toBe(true)
      plan?.steps.forEach((step, index) => {
        const over = minutes(shown[index]?.wait ?? '') - step.waitMin
        expect(over, shown[index]?.wait).toBeGreaterThanOrEqual(0)
        expect(over).toBeLessThan(5)
        if (step.kind !== 'dose' || step.parts === 1) return
        const apart = minutes(shown[index]?.parts ?? '') - step.betweenMin
        expect(apart, shown[index]?.parts).toBeGreaterThanOrEqual(0)
        expect(apart).toBeLessThan(5)
      })
    }
  })

  it('carries the cautions once, and what may not meet among what it uses', () => {
    const model = modelOf(wrong)
    expect(model.cautions).toEqual(expect.arrayContaining(['protectiveEquipment', 'acidIntoWater', 'neverTogether']))
    expect(new Set(model.cautions).size).toBe(model.cautions.length)
    expect(model.cautions).not.toContain('localCodeFirst')
    expect(model.apart.join()).toMatch(/Sodium hypochlorite with hydrochloric.*chlorine gas/)
  })

  it('shows the water step by step beside its ranges, what moved marked, what was not tested left open', () => {
    const { ledger } = modelOf(wrong)
    const cell = (row: number, title: string) =>
      ledger?.rows[row]?.cells[ledger.columns.findIndex((column) => column.title === title)]
    expect(ledger?.rows[0]?.title).toBe('Now')
    expect(cell(0, 'Free Cl')).toMatchObject({ value: { value: '0.4', place: 'under' }, moved: false })
    expect(cell(1, 'Free Cl')).toMatchObject({ value: { place: 'in' }, moved: true })
    expect(cell(1, 'Calcium')).toMatchObject({ value: { value: '300' }, moved: false })
    expect(cell(0, 'Cyanuric')).toEqual({ value: null, moved: false })
    const last = (ledger?.rows.length ?? 0) - 1
    expect(cell(last, 'pH')).toMatchObject({ value: { place: 'in' } })
  })

  it('has no saturation index where the hardness was never tested', () => {
    const { ledger, assumed } = modelOf(known({ calciumHardnessMgL: undefined, freeChlorineMgL: 0.4 }))
    const column = ledger?.columns.findIndex(({ thing }) => thing === 'saturationIndex') ?? -1
    expect(ledger?.rows.map(({ cells }) => cells[column]?.value ?? null)).not.toContainEqual(expect.anything())
    expect(assumed.join()).toContain('Calcium hardness was never tested')
  })

  it('shows bromine instead of chlorine where bromine is the sanitizer', () => {
    const spa = known(
      { freeChlorineMgL: undefined, totalChlorineMgL: undefined, bromineMgL: 1 },
      { body: { sanitizerSystem: 'bromine', useClass: 'spa', volumeL: 4000 } },
    )
    const { ledger, steps } = modelOf(spa)
    const titles = ledger?.columns.map(({ title }) => title)
    expect(titles).toContain('Bromine')
    expect(titles).not.toContain('Free Cl')
    expect(titles).not.toContain('Active Cl')
    expect(steps[0]?.what).toContain('Bromine tablets')
  })

  it('says that nothing is to be dosed, and on which tests of which age that rests', () => {
    const model = modelOf(known())
    expect(model.steps).toEqual([])
    expect(model.lead).toBe('Nothing is to be dosed: the water is within its ranges.')
    expect(model.rests.replaceAll('\u00a0', ' ')).toBe(
      'Free Cl 2.5 ppm, Total Cl 2.6 ppm, pH 7.4, Alkalinity 100 ppm, Calcium 300 ppm, Temp 81 °F, TDS 900 ppm: Nov 25, 5:00 am (1 h ago)',
    )
    expect(model.cautions).toEqual([])
  })

  it.each([
    ['never tested', known({ ph: undefined, freeChlorineMgL: undefined }), NOW, /Test pH first/],
    ['tested too long ago', known(), NOW + 9 * 24 * 3_600_000, /Test free chlorine again first/],
    ['in a body of unknown volume', known({}, { body: { volumeL: null } }), NOW, /volume/],
  ])('gives no amount for water %s: it says what is missing', (_what, of, nowMs, missing) => {
    const model = modelOf(of, 'us', nowMs)
    expect(model.missing.join(' ')).toMatch(missing)
    expect(model).toMatchObject({
      steps: [],
      ledger: null,
      rests: '',
      cautions: [],
      lead: 'No dose can be worked out yet.',
    })
  })

  it('gives nothing but a reason for tests beyond what can be reckoned', () => {
    const model = modelOf(known({ ph: 2 }))
    expect(model.steps).toEqual([])
    expect(model.missing.join()).toContain('contradict')
  })

  it('as text holds every step with its amount, and every caution, without marks that a message would garble', () => {
    const model = modelOf(wrong)
    const named = { body: { name: 'Lap pool' }, facility: { name: 'Saltmarsh Hotel' } }
    const text = planText(model, named as Parameters<typeof planText>[1])
    expect(text.split('\n')[0]).toBe('Lap pool, Saltmarsh Hotel: what to do now')
    for (const { what, amount } of model.steps)
      expect(text).toContain([what, amount].filter(Boolean).join(': ').replaceAll('\u00a0', ' '))
    expect(text).toContain('The local code, the product label')
    expect(text).toContain('chlorine gas')
    expect(text).not.toContain('\u00a0')
  })
})

describe('findings and the plan', () => {
  const planned = planFor(wrong.snapshot, wrong.profile, NOW)

  it('point to the step after which the finding would be gone, by judging the water that the step leaves', () => {
    const mended = mendedBy(wrong, planned, NOW)
    expect(mended.get('freeChlorineLow')).toBe(1)
    expect(mended.get('phHigh')).toBeGreaterThan(1)
    expect(mended.get('phHigh')).toBeLessThanOrEqual(planned.plan?.steps.length ?? 0)
  })

  it('promise nothing where nothing is dosed, and nothing of what no dose mends', () => {
    expect(mendedBy(known(), planFor(known().snapshot, known().profile, NOW), NOW)).toEqual(new Map())
    const warm = known({ tempC: 43, freeChlorineMgL: 0.4 })
    const mended = mendedBy(warm, planFor(warm.snapshot, warm.profile, NOW), NOW)
    expect(mended.has('freeChlorineLow')).toBe(true)
    expect(mended.has('temperatureHigh')).toBe(false)
  })

  it('say each caution in one place', () => {
    const cautions = ['localCodeFirst', 'protectiveEquipment', 'clearBathersBeforeFlow'] as const
    const finding = {
      family: 'sanitizer',
      sentence: { text: '', quantities: [] },
      evidence: [],
      advice: [],
      limit: null,
      sinceMs: NOW,
    }
    const findings = [
      { ...finding, kind: 'freeChlorineLow', cautions },
      { ...finding, kind: 'phHigh', cautions },
    ]
    const overview = { findings, facility: { timeZone: ZONE } } as unknown as Parameters<typeof groupFindings>[0]
    const plan = { cautions: ['protectiveEquipment' as const], mended: new Map([['phHigh' as const, 2]]) }
    expect(sharedCautionLines(overview, plan)).toEqual([expect.stringContaining('bathers out before flow')])
    const [group] = groupFindings(overview, 'us', NOW, plan)
    expect(group?.findings.map(({ cautions: own, step }) => [own, step])).toEqual([
      [[], null],
      [[], 2],
    ])
  })
})

describe('chemicals on site', () => {
  it('are offered without what is listed only to be reckoned with', () => {
    const { groups, line } = prepareOnSite([CHEMICALS.trichlor])
    const offered = groups.flatMap(({ chemicals }) => chemicals)
    const all = Object.values(CHEMICALS).filter(({ referenceOnly }) => !referenceOnly)
    expect(offered.map(({ key }) => key).sort()).toEqual(all.map(({ key }) => key).sort())
    expect(offered.map(({ key }) => key)).not.toContain('chlorineGas')
    expect(offered.filter(({ checked }) => checked).map(({ key }) => key)).toEqual(['trichlor'])
    expect(line).toContain('Trichlor')
  })

  it('that a reader chose keep the drums’ own first; a key that no catalogue knows is passed over', () => {
    const usual = [CHEMICALS.trichlor, CHEMICALS.hydrochloricAcid31]
    const chosen = chosenOf(['sodiumBisulfate', 'snakeOil', 'trichlor'], usual)
    expect(chosen.map(({ key }) => key)).toEqual(['trichlor', 'sodiumBisulfate'])
    expect(chosenOf([], usual)).toEqual([])
  })

  it('change the plan: without acid at hand no acid is asked for', () => {
    const options = { chemicals: chosenOf(['sodiumHypochloriteTrade12', 'sodiumBisulfate'], []) }
    const plan = planFor(wrong.snapshot, wrong.profile, NOW, options)
    const { steps } = preparePlan(wrong, plan, { system: 'us', zone: ZONE, nowMs: NOW })
    expect(steps.map(({ what }) => what).join()).toContain('Sodium bisulfate')
    expect(steps.map(({ what }) => what).join()).not.toContain('Hydrochloric')
  })
})
