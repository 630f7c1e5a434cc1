import {
  type BodyFacts,
  CHEMICAL_KEYS,
  CHEMICALS,
  type DosePlan,
  type DoseStep,
  OutOfRange,
  type PlanStep,
  renderPhrase,
  type Water,
} from '@sightglass/chemistry'
import { describe, expect, it } from 'vitest'
import { GOOD_WATER, planned, these, USUAL } from './given.ts'

/** What a plan does, in its order: 'sodiumBicarbonate: Raise total alkalinity'. */
const doing = ({ steps }: DosePlan) =>
  steps.map(
    (step) =>
      `${step.kind === 'dose' ? step.chemical : step.kind}: ${(step.purpose.text.match(/^\w+( \w+){0,2}/) ?? [''])[0]}`,
  )
const doses = ({ steps }: DosePlan) => steps.filter((step): step is DoseStep => step.kind === 'dose')
const chemicals = (plan: DosePlan) => doses(plan).map(({ chemical }) => chemical)
const said = ({ remains }: DosePlan) => remains.map((phrase) => renderPhrase(phrase, 'metric')).join('\n')
const notesOf = (step: PlanStep | undefined) =>
  step?.notes.map((phrase) => renderPhrase(phrase, 'metric')).join('\n') ?? ''
const workingOf = (step: PlanStep | undefined) =>
  step?.working.map((phrase) => renderPhrase(phrase, 'metric')).join('\n') ?? ''
const SPA: Partial<BodyFacts> = { useClass: 'spa', setting: 'indoor', volumeL: 400, flowLMin: 40 }
const STABILIZED: Partial<BodyFacts> = { cyanuricAcidUsed: true }

describe('water in its ranges', () => {
  it('gets nothing', () => {
    const plan = planned({})
    expect(plan.steps).toEqual([])
    expect(plan.remains).toEqual([])
    expect(plan.after).toEqual(plan.before)
    expect(plan.cautions).toEqual(['localCodeFirst'])
  })

  it.each([
    ['free chlorine at the minimum', { freeChlorineMgL: 1 }],
    ['free chlorine at the maximum', { freeChlorineMgL: 8 }],
    ['combined chlorine at the maximum', { combinedChlorineMgL: 0.4 }],
    ['pH at its minimum', { ph: 7.2 }],
    ['pH at its maximum', { ph: 7.8 }],
    ['alkalinity at its minimum', { totalAlkalinityMgL: 60 }],
    ['alkalinity at its maximum', { totalAlkalinityMgL: 180 }],
    ['hardness at its minimum', { calciumHardnessMgL: 150 }],
  ] as const)('gets nothing: %s', (_what, water) => {
    expect(doing(planned(water))).toEqual([])
  })

  it('gets nothing either with cyanuric acid at its maximum and chlorine to match', () => {
    expect(doing(planned({ cyanuricAcidMgL: 90, freeChlorineMgL: 4.5 }, { body: STABILIZED }))).toEqual([])
  })
})

describe('a value just outside its range', () => {
  it.each([
    ['free chlorine low', { freeChlorineMgL: 0.99 }, ['sodiumHypochloriteTrade12: Raise free chlorine']],
    ['pH low', { ph: 7.19 }, ['sodiumCarbonate: Raise pH from']],
    ['pH high', { ph: 7.81 }, ['hydrochloricAcid31: Lower pH from']],
    ['alkalinity low', { totalAlkalinityMgL: 59.9 }, ['sodiumBicarbonate: Raise total alkalinity']],
    ['alkalinity high', { totalAlkalinityMgL: 180.1, ph: 7.7 }, ['hydrochloricAcid31: Lower total alkalinity']],
    ['hardness low', { calciumHardnessMgL: 149.9 }, ['calciumChloride77: Raise calcium hardness']],
    ['hardness high', { calciumHardnessMgL: 1000.1, ph: 7.2, totalAlkalinityMgL: 60 }, ['replace: Replace']],
    ['combined chlorine high', { combinedChlorineMgL: 0.41 }, ['sodiumHypochloriteTrade12: Burn off']],
  ] as const)('%s', (_what, water, steps) => {
    expect(doing(planned(water))).toEqual(steps)
  })

  it('free chlorine high: no dose, but to wait, without bathers where the code closes', () => {
    const plan = planned({ freeChlorineMgL: 8.01 })
    expect(plan.steps).toEqual([])
    expect(said(plan)).toMatch(/^Free chlorine 8\.0\d* mg\/L is over 8\.0\d* mg\/L: stop the feed and let it fall/)
    expect(said(planned({ freeChlorineMgL: 10 }))).toMatch(/stop the feed and let it fall/)
    expect(said(planned({ freeChlorineMgL: 10.01 }))).toMatch(/stop the feed, keep bathers out and let it fall/)
  })

  it('cyanuric acid over its maximum: water is replaced, as much as brings it inside', () => {
    const plan = planned({ cyanuricAcidMgL: 90.1, freeChlorineMgL: 6 }, { body: STABILIZED })
    expect(doing(plan)[0]).toBe('replace: Replace')
    expect(plan.after.water.cyanuricAcidMgL).toBeCloseTo(81, 6)
  })
})

describe('where a dose ends', () => {
  it('in the middle of things, not at the edge', () => {
    expect(planned({ ph: 8.1 }).after.water.ph).toBeCloseTo(7.4, 3)
    expect(planned({ ph: 7 }).after.water.ph).toBeCloseTo(7.4, 3)
    expect(planned({ totalAlkalinityMgL: 40 }).after.water.totalAlkalinityMgL).toBeCloseTo(80, 1)
    expect(planned({ calciumHardnessMgL: 100 }).after.water.calciumHardnessMgL).toBeCloseTo(200, 6)
    expect(planned({ freeChlorineMgL: 0 }).after.water.freeChlorineMgL).toBeCloseTo(2, 6)
    expect(planned({ freeChlorineMgL: 0, tempC: 38, ph: 7.3 }, { body: SPA }).after.water.freeChlorineMgL).toBeCloseTo(
      4.5,
      6,
    )
  })

  it('brings alkalinity and pH both to their aims, with no more than two chemicals', () => {
    for (const [ph, totalAlkalinityMgL] of [
      [6.8, 30],
      [7, 45],
      [8.3, 40],
      [8.6, 55],
      [7.4, 20],
    ] as const) {
      const plan = planned({ ph, totalAlkalinityMgL, calciumHardnessMgL: 300 })
      expect(plan.after.water.totalAlkalinityMgL, `pH ${ph}, alkalinity ${totalAlkalinityMgL}`).toBeGreaterThan(78)
      expect(plan.after.water.totalAlkalinityMgL).toBeLessThan(100)
      expect(plan.after.water.ph).toBeGreaterThan(7.2)
      expect(plan.after.water.ph).toBeLessThan(7.8)
      expect(doses(plan).length).toBeLessThanOrEqual(2)
    }
  })

  it('raises alkalinity first where the acid for pH would take it under its minimum', () => {
    const plan = planned({ ph: 8.2, totalAlkalinityMgL: 63 })
    expect(chemicals(plan)).toEqual(['sodiumBicarbonate', 'hydrochloricAcid31'])
    expect(plan.after.water.totalAlkalinityMgL).toBeGreaterThanOrEqual(60)
    expect(chemicals(planned({ ph: 8.2, totalAlkalinityMgL: 75 }))).toEqual(['hydrochloricAcid31'])
  })

  it('takes soda ash alone where it brings enough alkalinity by itself', () => {
    const plan = planned({ ph: 6.5, totalAlkalinityMgL: 58, calciumHardnessMgL: 400 })
    expect(chemicals(plan)).toEqual(['sodiumCarbonate'])
  })

  it('lets air raise pH where soda ash would bring too much alkalinity', () => {
    const plan = planned({ ph: 7, totalAlkalinityMgL: 175 })
    expect(doing(plan)).toEqual(['aerate: Raise pH from'])
    expect(plan.after.water.totalAlkalinityMgL).toBeCloseTo(175, 0)
    expect(plan.after.water.ph).toBeCloseTo(7.4, 3)
  })

  it('after too much acid takes soda ash for alkalinity and air for pH, and never says that nothing is at hand', () => {
    for (const key of ['cdc-mahc', 'us-ny']) {
      for (const [ph, totalAlkalinityMgL] of [
        [4.5, 5],
        [4.8, 4],
        [5.3, 10],
        [6, 30],
        [6.2, 55],
      ] as const) {
        const plan = planned({ ph, totalAlkalinityMgL }, { key })
        const why = `${key}, pH ${ph}, alkalinity ${totalAlkalinityMgL}`
        expect(chemicals(plan)[0], why).toMatch(/^sodium(Bic|C)arbonate$/)
        expect(plan.after.water.totalAlkalinityMgL, why).toBeGreaterThan(78)
        expect(plan.after.water.totalAlkalinityMgL, why).toBeLessThan(key === 'us-ny' ? 120 : 168.1)
        expect(plan.after.water.ph, why).toBeGreaterThan(7.35)
        expect(said(plan), why).not.toMatch(/nothing at hand/)
      }
    }
  })

  it('stops with acid for alkalinity once alkalinity and the index are within, and lets pH be that acid has brought in', () => {
    // pH 7.2 is enough for this hard water: no air that would take it back up, no further acid
    const hard = planned({ ph: 7.8, totalAlkalinityMgL: 170, calciumHardnessMgL: 800 })
    expect(doing(hard)).toHaveLength(1)
    expect(said(hard)).not.toMatch(/go on the same way/)
    const high = planned({ ph: 8, totalAlkalinityMgL: 220 }, { body: { setting: 'indoor' } })
    expect(high.steps.at(-1)?.kind).toBe('dose')
    expect(high.after.water.totalAlkalinityMgL).toBeLessThanOrEqual(180)
    expect(said(high)).not.toMatch(/go on the same way/)
    const veryHigh = planned({ ph: 9.5, totalAlkalinityMgL: 600 })
    expect(veryHigh.after.saturationIndex).toBeLessThan(0.5)
    expect(said(veryHigh)).toMatch(/go on the same way/)
  })

  it('lowers alkalinity with acid and air in turn, pH never leaving its range, and says when days are needed', () => {
    const plan = planned({ totalAlkalinityMgL: 260, ph: 7.7 })
    expect(plan.steps.map(({ kind }) => kind)).toEqual(['dose', 'aerate', 'dose', 'aerate', 'dose'])
    for (const { after } of plan.steps) {
      expect(after.water.ph).toBeGreaterThanOrEqual(7.2)
      expect(after.water.ph).toBeLessThanOrEqual(7.8)
    }
    expect(said(plan)).toMatch(/go on the same way on other days/)
    // a little over, one round is enough
    expect(said(planned({ totalAlkalinityMgL: 190 }))).toBe('')
  })

  it('leaves alkalinity alone with carbon dioxide for pH', () => {
    const plan = planned({ ph: 8.2, totalAlkalinityMgL: 63 }, { chemicals: [...these('carbonDioxide'), ...USUAL] })
    expect(chemicals(plan)).toEqual(['carbonDioxide'])
    // what hypochlorite gives up as it becomes hypochlorous acid a titration finds
    expect(plan.after.water.totalAlkalinityMgL).toBeGreaterThan(63)
    expect(plan.after.water.totalAlkalinityMgL).toBeLessThan(64)
    expect(notesOf(plan.steps[0])).toMatch(/feeder/)
    expect(plan.steps[0]?.cautions).toContain('ventilateAndLeave')
  })
})

describe('the saturation index', () => {
  // hardness that puts it at a value, all else good and inside
  it('is left alone inside its tolerance and mended outside', () => {
    const corrosive = planned({ tempC: 12, ph: 7.2, totalAlkalinityMgL: 61, calciumHardnessMgL: 155 })
    expect(corrosive.before.saturationIndex).toBeLessThan(-0.5)
    expect(corrosive.after.saturationIndex).toBeGreaterThan(-0.5)
    expect(corrosive.steps.length).toBeGreaterThan(0)
    const scaling = planned({ tempC: 38, ph: 7.75, totalAlkalinityMgL: 150, calciumHardnessMgL: 500 })
    expect(scaling.before.saturationIndex).toBeGreaterThan(0.5)
    expect(scaling.after.saturationIndex).toBeLessThan(0.5)
    expect(chemicals(scaling)).toEqual(['hydrochloricAcid31'])
  })

  it('says that only softer water helps where pH and alkalinity give no more room', () => {
    const plan = planned({ tempC: 39, ph: 7.3, totalAlkalinityMgL: 70, calciumHardnessMgL: 990 })
    if ((plan.after.saturationIndex ?? 0) > 0.55) expect(said(plan)).toMatch(/saturation index stays/)
    const stuck = planned({ tempC: 4, ph: 7.5, totalAlkalinityMgL: 65, calciumHardnessMgL: 160 }, { chemicals: [] })
    expect(stuck.steps).toEqual([])
    expect(said(stuck)).toMatch(/saturation index stays|should rise/)
  })

  it('is not told where hardness was not tested, and nothing is done about hardness', () => {
    const plan = planned({ calciumHardnessMgL: 20, ph: 8 }, { untested: ['calciumHardnessMgL'] })
    expect(chemicals(plan)).toEqual(['hydrochloricAcid31'])
    expect(plan.before.saturationIndex).toBeNull()
    expect(plan.after.saturationIndex).toBeNull()
    expect(plan.steps[0]?.after.saturationIndex).toBeNull()
  })
})

describe('the order', () => {
  const ALL_WRONG: Partial<Water> = {
    freeChlorineMgL: 0.2,
    combinedChlorineMgL: 0.8,
    ph: 8,
    totalAlkalinityMgL: 50,
    calciumHardnessMgL: 100,
  }

  it('is sanitizer, alkalinity, pH, hardness, breakpoint', () => {
    expect(doing(planned(ALL_WRONG))).toEqual([
      'sodiumHypochloriteTrade12: Raise free chlorine',
      'sodiumBicarbonate: Raise total alkalinity',
      'hydrochloricAcid31: Lower pH from',
      'calciumChloride77: Raise calcium hardness',
      'sodiumHypochloriteTrade12: Burn off',
    ])
  })

  it('puts fresh water before what it would carry away, and only the plain minimum of chlorine before that', () => {
    const plan = planned({ cyanuricAcidMgL: 160, freeChlorineMgL: 0.5, ph: 8 }, { body: STABILIZED })
    expect(doing(plan).slice(0, 2)).toEqual(['sodiumHypochloriteTrade12: Raise free chlorine', 'replace: Replace'])
    expect(plan.steps[0]?.after.water.freeChlorineMgL).toBeCloseTo(3, 6)
    expect(chemicals(plan)).toContain('hydrochloricAcid31')
    expect(plan.after.water.freeChlorineMgL).toBeGreaterThanOrEqual(plan.after.water.cyanuricAcidMgL / 20 - 1e-6)
  })

  it('makes one dose of chlorine where breakpoint would follow at once', () => {
    const plan = planned({ freeChlorineMgL: 0.5, combinedChlorineMgL: 1.2 })
    expect(doing(plan)).toEqual(['sodiumHypochloriteTrade12: Burn off'])
    const [step] = doses(plan)
    // ten times 1.2 mg/L in 300,000 L are 3.6 kg of chlorine, in 125 g/L
    expect(step?.amount.volumeL).toBeCloseTo(28.8, 6)
  })

  it('waits between chlorine and acid for an hour at least, and says why', () => {
    const [chlorine, acid] = planned(
      { freeChlorineMgL: 0, ph: 8.1, tempC: 38, calciumHardnessMgL: 160 },
      { body: SPA },
    ).steps
    expect(chlorine?.waitMin).toBe(60)
    expect(notesOf(acid)).toMatch(
      /The step before was hypochlorite, and that with acid makes chlorine gas, which kills/,
    )
    // alone, a spa of ten minutes a turnover is mixed after half an hour
    expect(
      planned({ ph: 8.1, freeChlorineMgL: 4, tempC: 38, calciumHardnessMgL: 160 }, { body: SPA }).steps[0]?.waitMin,
    ).toBe(30)
  })

  it('says that calcium after bicarbonate clouds the water', () => {
    const plan = planned({ totalAlkalinityMgL: 30, calciumHardnessMgL: 80 })
    const calcium = plan.steps.find((step) => step.kind === 'dose' && step.chemical === 'calciumChloride77')
    expect(notesOf(calcium)).toMatch(/clouds the water/)
  })

  it('has each step start from the water that the one before leaves', () => {
    const { steps, before, after } = planned(ALL_WRONG)
    expect(before.water.ph).toBe(8)
    expect(steps.at(-1)?.after).toEqual(after)
  })
})

describe('additions', () => {
  it('of acid move alkalinity by at most 12 mg/L and pH by at most 0.3', () => {
    const [acid] = doses(planned({ ph: 8.4, totalAlkalinityMgL: 120 }))
    expect(acid?.parts).toBeGreaterThanOrEqual(4)
  })

  it.each([
    // 300,000 L: 625 L/min turn it over in 480 minutes
    [625, 1],
    [624.9, 2],
    [null, 2],
    [0, 2],
  ] as const)(
    'are halved when the body turns over slower than in eight hours or nobody knows: %s L/min',
    (flowLMin, parts) => {
      const [acid] = doses(planned({ ph: 7.81, totalAlkalinityMgL: 80 }, { body: { flowLMin }, wanted: toPh(7.6) }))
      expect(acid?.parts).toBe(parts)
    },
  )

  it('come a quarter of a turnover apart, and a step waits for a whole one', () => {
    const [acid] = doses(planned({ ph: 8.2 }, { body: { flowLMin: 1000 } }))
    expect(acid?.betweenMin).toBe(75)
    expect(acid?.waitMin).toBe(300)
    const [spa] = doses(planned({ ph: 8.2, freeChlorineMgL: 4 }, { body: SPA }))
    expect(spa?.betweenMin).toBe(15)
    const [unknown] = doses(planned({ ph: 8.2 }, { body: { flowLMin: null } }))
    expect([unknown?.betweenMin, unknown?.waitMin]).toEqual([120, 360])
  })

  it('are one where one is enough, with no time between', () => {
    const [one] = doses(planned({ freeChlorineMgL: 0.5 }))
    expect([one?.parts, one?.betweenMin]).toEqual([1, 0])
  })

  it('of thiosulfate are two at least: what is too much takes up the next chlorine', () => {
    const plan = planned({ freeChlorineMgL: 9 }, { chemicals: [...USUAL, ...these('sodiumThiosulfate')] })
    expect(doses(plan)[0]?.parts).toBe(2)
    expect(notesOf(plan.steps[0])).toMatch(/Half of it first, then retest/)
  })

  it('are told apart for what they would do to the water: too many are no dose', () => {
    const plan = planned(
      { ph: 9.8, totalAlkalinityMgL: 25, calciumHardnessMgL: 400 },
      { chemicals: these('hydrochloricAcid31'), body: { flowLMin: null } },
    )
    for (const dose of doses(plan)) expect(dose.parts).toBeLessThanOrEqual(60)
  })
})

const toPh = (aim: number) => ({
  ranges: { ph: { min: 7.2, max: 7.8, fromBelow: aim, fromAbove: aim } },
  cyanuricAcidPerChlorine: null,
  cyanuricAcidForbidden: null,
})

describe('amounts', () => {
  it('are sane for a spa and for a lagoon', () => {
    const spa = doses(planned({ freeChlorineMgL: 0, tempC: 38, ph: 7.3 }, { body: SPA }))[0]
    expect(spa?.amount.volumeL).toBeCloseTo(0.0144, 6)
    const lagoon = doses(planned({ freeChlorineMgL: 0 }, { body: { volumeL: 2_500_000, flowLMin: 8000 } }))[0]
    expect(lagoon?.amount.volumeL).toBeCloseTo(40, 6)
  })

  it('are worked out in words and numbers', () => {
    const [step] = planned({ freeChlorineMgL: 0.3 }).steps
    expect(step && renderPhrase(step.purpose, 'metric')).toBe('Raise free chlorine from 0.3 mg/L to 2.0 mg/L.')
    expect(workingOf(step)).toMatch(
      /^1\.7 mg\/L more in 300,000 L of water is 510 g of available chlorine; 4\.1 L of the product brings that\.$/,
    )
  })
})

describe('combined chlorine', () => {
  it('names the handbook rule and the stoichiometry, each as what it is', () => {
    const [step] = planned({ combinedChlorineMgL: 0.6 }).steps
    expect(workingOf(step)).toMatch(/Handbook rule: ten times the combined chlorine is added, 6\.0 mg\/L/)
    expect(workingOf(step)).toMatch(/Chemistry alone: 0\.3 mg\/L/)
  })

  it('leaves free chlorine over its maximum, and says that bathers stay out', () => {
    const plan = planned({ combinedChlorineMgL: 1.5 })
    expect(plan.after.water.combinedChlorineMgL).toBe(0)
    expect(plan.after.water.freeChlorineMgL).toBeCloseTo(2.5 + 15 - 0.75, 6)
    expect(said(plan)).toMatch(
      /After breakpoint free chlorine stands at about 17 mg\/L, over 8\.0 mg\/L: keep bathers out/,
    )
  })

  it('says that the index it leaves comes down with the chlorine, not that nothing brings it down', () => {
    const plan = planned({ ph: 7.4, totalAlkalinityMgL: 150, calciumHardnessMgL: 500, combinedChlorineMgL: 1.5 })
    expect(said(plan)).toMatch(/The saturation index stands at about .* at first/)
    expect(said(plan)).not.toMatch(/nothing at hand/)
  })

  it('is burned off only without cyanuric acid in the product', () => {
    const plan = planned({ combinedChlorineMgL: 0.8 }, { body: STABILIZED, chemicals: these('dichlor', 'trichlor') })
    expect(plan.steps).toEqual([])
    expect(said(plan)).toMatch(/nothing without cyanuric acid is at hand/)
  })

  it('that ten times the free chlorine did not burn off is a case for water and air', () => {
    const plan = planned({ combinedChlorineMgL: 0.5, freeChlorineMgL: 5 })
    expect(plan.steps).toEqual([])
    expect(said(plan)).toMatch(/what is left does not burn off/)
    expect(doing(planned({ combinedChlorineMgL: 0.5, freeChlorineMgL: 4.9 }))).toEqual([
      'sodiumHypochloriteTrade12: Burn off',
    ])
  })

  it('may be burned off by what the minimum asked for already', () => {
    const plan = planned({ combinedChlorineMgL: 0.42, freeChlorineMgL: 0, cyanuricAcidMgL: 60 }, { body: STABILIZED })
    expect(doing(plan)).toEqual(['sodiumHypochloriteTrade12: Raise free chlorine'])
    expect(said(plan)).toMatch(/the chlorine that was added for the minimum is more than ten times as much/)
  })

  it('counts what was added on the way', () => {
    const plan = planned({ combinedChlorineMgL: 0.8, freeChlorineMgL: 0.2, ph: 8 })
    expect(chemicals(plan)).toEqual(['sodiumHypochloriteTrade12', 'hydrochloricAcid31', 'sodiumHypochloriteTrade12'])
    expect(workingOf(plan.steps[2])).toMatch(/Of that 1\.8 mg\/L since the test already/)
    expect(doses(plan)[2]?.amount.volumeL).toBeCloseTo(((8 - 1.8) * 300) / 125, 6)
  })

  it('of more than 6 mg/L is a case for fresh water', () => {
    expect(said(planned({ combinedChlorineMgL: 6.1 }))).toMatch(/too much to burn off: replace part of the water/)
    expect(chemicals(planned({ combinedChlorineMgL: 6 }))).toEqual(['sodiumHypochloriteTrade12'])
  })

  it('is no concern where bromine sanitizes, or where nobody measured it', () => {
    expect(planned({ combinedChlorineMgL: 2 }, { untested: ['combinedChlorineMgL'] }).steps).toEqual([])
    const bromine = planned(
      { combinedChlorineMgL: 2, bromineMgL: 5, freeChlorineMgL: 0 },
      { body: { sanitizerSystem: 'bromine' } },
    )
    expect(bromine.steps).toEqual([])
  })
})

describe('high chlorine', () => {
  it('over 10 mg/L makes other tests untrue: nothing is dosed by them', () => {
    const plan = planned({ freeChlorineMgL: 10.1, ph: 8.4, totalAlkalinityMgL: 40, calciumHardnessMgL: 50 })
    expect(plan.steps).toEqual([])
    expect(said(plan)).toMatch(/bleaches the dyes of other tests/)
    expect(chemicals(planned({ freeChlorineMgL: 10, ph: 8.4 }))).toEqual(['hydrochloricAcid31'])
  })

  it('is taken down with thiosulfate only when that is at hand, in two parts, with a caution', () => {
    const plan = planned({ freeChlorineMgL: 15 }, { chemicals: [...USUAL, ...these('sodiumThiosulfate')] })
    expect(chemicals(plan)).toEqual(['sodiumThiosulfate'])
    expect(plan.after.water.freeChlorineMgL).toBeCloseTo(7.3, 6)
    expect(renderPhrase(plan.steps[0]?.purpose ?? { text: '', quantities: [] }, 'metric')).toMatch(
      /if waiting for it is out of the question/,
    )
  })

  it('is a matter of waiting for bromine too', () => {
    const plan = planned({ bromineMgL: 12, freeChlorineMgL: 0 }, { body: { sanitizerSystem: 'bromine' } })
    expect(plan.steps).toEqual([])
    expect(said(plan)).toMatch(/^Bromine 12 mg\/L is over 8\.0 mg\/L/)
  })
})

describe('cyanuric acid', () => {
  it('asks for more free chlorine by its ratio', () => {
    expect(planned({ cyanuricAcidMgL: 60, freeChlorineMgL: 3 }, { body: STABILIZED }).steps).toEqual([])
    const plan = planned({ cyanuricAcidMgL: 60.2, freeChlorineMgL: 3 }, { body: STABILIZED })
    expect(chemicals(plan)).toEqual(['sodiumHypochloriteTrade12'])
    expect(workingOf(plan.steps[0])).toMatch(
      /With 60 mg\/L of cyanuric acid at least 3\.0 mg\/L of free chlorine is wanted, at a ratio of 20:1/,
    )
  })

  it('does not ask by it where it was not tested lately', () => {
    const plan = planned(
      { cyanuricAcidMgL: 80, freeChlorineMgL: 2.5 },
      { body: STABILIZED, untested: ['cyanuricAcidMgL'] },
    )
    expect(plan.steps).toEqual([])
  })

  it.each([
    ['indoors', { setting: 'indoor' }],
    ['in a spa', { useClass: 'spa' }],
    ['in a therapy pool', { useClass: 'therapy' }],
  ] as const)('is never brought %s, whatever is at hand', (_where, body) => {
    const all = these(...CHEMICAL_KEYS.filter((key) => CHEMICALS[key].perKg.cyanuricAcidMmolL > 0))
    const plan = planned({ freeChlorineMgL: 0 }, { body: { ...STABILIZED, ...body }, chemicals: all })
    expect(plan.steps).toEqual([])
    expect(said(plan)).toMatch(/Nothing at hand may raise free chlorine here/)
  })

  it('comes with dichlor only where it is allowed and stays under its maximum, and only for want of another product', () => {
    const low = planned(
      { freeChlorineMgL: 0, cyanuricAcidMgL: 30 },
      { body: STABILIZED, chemicals: these('trichlor', 'dichlor') },
    )
    expect(chemicals(low)).toEqual(['dichlor'])
    expect(notesOf(low.steps[0])).toMatch(/Cyanuric acid rises by 2\.7 mg\/L; only fresh water takes it out again/)
    const full = planned({ freeChlorineMgL: 1, cyanuricAcidMgL: 89 }, { body: STABILIZED, chemicals: these('dichlor') })
    expect(full.steps).toEqual([])
    const choice = planned(
      { freeChlorineMgL: 0, cyanuricAcidMgL: 30 },
      { body: STABILIZED, chemicals: these('dichlor', 'calciumHypochlorite65') },
    )
    expect(chemicals(choice)).toEqual(['calciumHypochlorite65'])
    expect(notesOf(choice.steps[0])).toMatch(/Never into the feeder or a bucket of trichlor or dichlor/)
  })

  it('where it is not allowed is replaced down to what no test sees', () => {
    const plan = planned(
      { cyanuricAcidMgL: 40, freeChlorineMgL: 4 },
      { body: { ...SPA, volumeL: 2000, flowLMin: 200 } },
    )
    expect(doing(plan)[0]).toBe('replace: Replace')
    expect(plan.steps[0]?.kind === 'replace' && plan.steps[0].share).toBeCloseTo(35 / 40, 9)
    expect(notesOf(plan.steps[0])).toMatch(/A spa is sooner emptied/)
    expect(notesOf(plan.steps[0])).not.toMatch(/groundwater/)
  })
})

describe('fresh water', () => {
  it('is said to be assumed, and not taken all at once', () => {
    const [step] = planned({ cyanuricAcidMgL: 200, freeChlorineMgL: 3 }, { body: STABILIZED }).steps
    expect(notesOf(step)).toMatch(/The fill water is taken to have 100 mg\/L of hardness/)
    expect(notesOf(step)).toMatch(/Not more than 33 % at a time/)
    const [little] = planned({ cyanuricAcidMgL: 100, freeChlorineMgL: 6 }, { body: STABILIZED }).steps
    expect(notesOf(little)).not.toMatch(/at a time/)
  })

  it('is what was given, when it was', () => {
    const fillWater = { ...GOOD_WATER, calciumHardnessMgL: 400, cyanuricAcidMgL: 0, freeChlorineMgL: 0.5 }
    const plan = planned({ calciumHardnessMgL: 1200, ph: 7.2, totalAlkalinityMgL: 60 }, { fillWater })
    expect(plan.steps[0]?.kind === 'replace' && plan.steps[0].share).toBeCloseTo((1200 - 915) / 800, 9)
    expect(notesOf(plan.steps[0])).not.toMatch(/is taken to have/)
  })

  it('that is as hard as the pool mends nothing, and that is said', () => {
    const plan = planned(
      { calciumHardnessMgL: 1200, ph: 7.2, totalAlkalinityMgL: 60 },
      { fillWater: { ...GOOD_WATER, calciumHardnessMgL: 1100 } },
    )
    expect(plan.steps.some(({ kind }) => kind === 'replace')).toBe(false)
    expect(said(plan)).toMatch(/replacing does not mend it/)
  })
})

describe('other chemicals at hand', () => {
  it('sulfuric acid says what its sulfate does', () => {
    const plan = planned({ ph: 8.2 }, { chemicals: [...these('sulfuricAcid38'), ...USUAL] })
    expect(chemicals(plan)).toEqual(['sulfuricAcid38'])
    expect(notesOf(plan.steps[0])).toMatch(
      /It leaves 7\.\d mg\/L of sulfate, which attacks cement finishes, grout and concrete/,
    )
    expect(notesOf(planned({ ph: 8.2 }).steps[0])).not.toMatch(/sulfate/)
  })

  it('calcium hypochlorite is passed over where hardness would leave its range', () => {
    const chemicalsAtHand = these('calciumHypochlorite65', 'sodiumHypochloriteTrade12')
    const soft = planned({ freeChlorineMgL: 0.5 }, { chemicals: chemicalsAtHand })
    expect(chemicals(soft)).toEqual(['calciumHypochlorite65'])
    expect(notesOf(soft.steps[0])).toMatch(/Calcium hardness rises by 1\.2 mg\/L/)
    const hard = planned(
      { freeChlorineMgL: 0.5, calciumHardnessMgL: 999.5, ph: 7.2, totalAlkalinityMgL: 60 },
      { chemicals: chemicalsAtHand },
    )
    expect(chemicals(hard)).toEqual(['sodiumHypochloriteTrade12'])
  })

  it('bromine tablets raise bromine by their feeder', () => {
    const plan = planned(
      { bromineMgL: 1, freeChlorineMgL: 0 },
      { body: { sanitizerSystem: 'bromine' }, chemicals: these('bromineTablets') },
    )
    expect(chemicals(plan)).toEqual(['bromineTablets'])
    expect(plan.after.water.bromineMgL).toBeCloseTo(4.5, 6)
    expect(notesOf(plan.steps[0])).toMatch(/By its feeder/)
  })

  it('chlorine gas is never asked for', () => {
    expect(planned({ freeChlorineMgL: 0 }, { chemicals: these('chlorineGas') }).steps).toEqual([])
  })

  it('none at all leaves everything, and says of each what is wanted', () => {
    const plan = planned(
      { freeChlorineMgL: 0, ph: 8, totalAlkalinityMgL: 40, calciumHardnessMgL: 100 },
      { chemicals: [] },
    )
    expect(plan.steps).toEqual([])
    expect(said(plan)).toMatch(/Nothing at hand may raise free chlorine/)
    expect(said(plan)).toMatch(/neither bicarbonate nor soda ash is at hand/)
    expect(said(plan)).toMatch(/pH should fall to 7\.4/)
    expect(said(plan)).toMatch(/no calcium chloride is at hand/)
  })
})

describe('tests that contradict each other', () => {
  it('are refused: alkalinity at such a pH would take more carbon dioxide than any water holds', () => {
    expect(() => planned({ ph: 3, totalAlkalinityMgL: 10 })).toThrow(OutOfRange)
    expect(() => planned({ ph: 3, totalAlkalinityMgL: 60 })).toThrow(OutOfRange)
    expect(() => planned({ ph: 3.4, totalAlkalinityMgL: 0 })).toThrow(OutOfRange)
    expect(planned({ ph: 4.5, totalAlkalinityMgL: 5 }).steps).not.toHaveLength(0)
  })

  it('are refused: cyanurate alone would hold more than the total alkalinity', () => {
    expect(() => planned({ cyanuricAcidMgL: 200, totalAlkalinityMgL: 20, ph: 8 }, { body: STABILIZED })).toThrow(
      OutOfRange,
    )
  })
})
