import { type ChemicalKey, planFor } from '@sightglass/chemistry'
import { describe, expect, it } from 'vitest'
import {
  isTrying,
  NOTHING_TRIED,
  prepareControls,
  prepareWhatIf,
  type Tried,
} from '../../../apps/web/screens/body/whatIf.ts'
import { amountUnits, dosesOf, unitOfDose } from '../../../apps/web/shared/amounts.ts'
import type { Known, KnownWater } from '../../../apps/web/shared/known.ts'
import { fieldText } from '../../../apps/web/shared/QuantityInput.tsx'
import { HOUR, known, MINUTE, NOW } from '../support.ts'

const baseOf = (of: Known): KnownWater => {
  const { water, untested } = planFor(of.snapshot, of.profile, NOW)
  if (!water) throw new Error('the water of this case is not known')
  return { water, untested }
}
const trying = (of: Known, tried: Partial<Tried>, volumeL = of.snapshot.body.volumeL) =>
  prepareWhatIf(of, baseOf(of), { ...NOTHING_TRIED, ...tried }, { system: 'metric', nowMs: NOW, volumeL })
const added = (chemical: ChemicalKey, amount: number | null) => [{ id: chemical, chemical, amount, unit: 'L' }]
const row = (model: ReturnType<typeof trying>, thing: string) => model.rows.find((one) => one.thing === thing)
const value = (model: ReturnType<typeof trying>, thing: string) =>
  Number(row(model, thing)?.tried?.value.replace('−', '-'))

describe('what if nothing is tried', () => {
  it('the present water stands alone, with the standing that it has', () => {
    const model = trying(known(), {})
    expect(isTrying(NOTHING_TRIED)).toBe(false)
    expect(model.rows.every(({ tried, moved }) => tried === null && !moved)).toBe(true)
    expect(model.standing).toEqual({ now: { severity: 'fine', score: '100' }, tried: null })
    expect(model.findings).toEqual([])
  })
})

describe('a value that is moved', () => {
  it('pH by pH: hypochlorous acid follows its constant, saturation climbs', () => {
    const calm = known({ tempC: 25, freeChlorineMgL: 2 })
    const shares = [6.5, 7.5, 8.5].map((ph) => value(trying(calm, { moved: { ph } }), 'hypochlorousMgL') / 2)
    // Morris 1966: pKa 7.54 at 25 °C
    shares.forEach((share, index) => {
      expect(share).toBeCloseTo(1 / (1 + 10 ** (6.5 + index - 7.54)), 1)
    })
    const indexes = [7, 7.4, 7.8, 8.2].map((ph) => value(trying(calm, { moved: { ph } }), 'saturationIndex'))
    expect([...indexes].sort((a, b) => a - b)).toEqual(indexes)
  })

  it('changes the standing as the same numbers in a test of now would', () => {
    const model = trying(known(), { moved: { ph: 8.3, freeChlorineMgL: 0.3 } })
    expect(model.standing.now.severity).toBe('fine')
    expect(model.standing.tried?.severity).toBe('close')
    expect(model.findings.map(({ title }) => title)).toEqual(expect.arrayContaining(['pH high', 'Free chlorine low']))
    expect(row(model, 'ph')).toMatchObject({
      now: { value: '7.4' },
      tried: { value: '8.3', place: 'over' },
      moved: true,
    })
    expect(row(model, 'calciumHardnessMgL')?.moved).toBe(false)
  })

  it('leaves what nobody tested unjudged, until it is moved itself', () => {
    const open = known({ calciumHardnessMgL: undefined })
    const before = trying(open, { moved: { ph: 7.5 } })
    expect(row(before, 'calciumHardnessMgL')).toMatchObject({ now: null, tried: null })
    expect(row(before, 'saturationIndex')).toMatchObject({ now: null, tried: null })
    const after = trying(open, { moved: { calciumHardnessMgL: 60 } })
    expect(row(after, 'saturationIndex')?.tried).not.toBeNull()
    expect(after.findings.map(({ title }) => title)).toContain('Calcium hardness low')
    const stabilized = trying(known(), { moved: { cyanuricAcidMgL: 50 } })
    expect(stabilized.findings.map(({ title }) => title)).toContain('Cyanuric acid not allowed here')
  })

  it('is not held against a controller that shows the present water', () => {
    const latest = {
      atMs: NOW - 5 * MINUTE,
      ph: 7.4,
      orpMv: 740,
      freeChlorineMgL: null,
      tempC: 27,
      flowLMin: null,
      flowOn: true,
      sanitizerFeedPct: 20,
      backupFeedPct: null,
      phFeedPct: 5,
      phSetPoint: 7.4,
      orpSetPointMv: 740,
    }
    const heard = known(
      {},
      { controller: { channels: ['ph', 'orpMv'], lastHeardAtMs: latest.atMs, latest, hours: [] } },
    )
    const model = trying(heard, { moved: { ph: 7.75 } })
    expect(model.findings.map(({ title }) => title)).not.toContain('pH probe disagrees with the test kit')
    const flowless = known(
      {},
      {
        controller: {
          channels: ['ph', 'flowOn'],
          lastHeardAtMs: NOW - HOUR,
          latest: { ...latest, flowOn: false, atMs: NOW - HOUR },
          hours: [],
        },
      },
    )
    // what stops the pump is not mended by moving a value: such a body has no plan and no what-if at all
    expect(planFor(flowless.snapshot, flowless.profile, NOW).water).toBeNull()
  })

  it('is refused where nothing can be reckoned, at its slider and in the outcome', () => {
    const tried = { moved: { ph: 12 }, doses: [] }
    const model = trying(known(), tried)
    expect(model.trouble).toContain('pH 12 is outside')
    expect(model.standing.tried).toBeNull()
    expect(model.rows.every((one) => one.tried === null)).toBe(true)
    const control = prepareControls(known(), baseOf(known()), tried, 'us').find(({ thing }) => thing === 'ph')
    expect(control?.trouble).toBe('pH can be reckoned from 3 to 11.')
  })
})

describe('a chemical that is added', () => {
  it('takes the alkalinity that its equivalents take, by weight', () => {
    // 31.45 % of 1.16 kg/L is 10.0 mol of HCl in a litre (36.46 g/mol); 50 g of CaCO3 for each mol
    const litres = 8
    const fall = (litres * 10.0 * 50_000) / 400_000
    const model = trying(known(), { doses: added('hydrochloricAcid31', litres) })
    expect(value(model, 'totalAlkalinityMgL')).toBeCloseTo(100 - fall, 0)
    expect(value(model, 'ph')).toBeLessThan(7.4)
  })

  it('shows its side effects: cyanuric acid from trichlor, where none was', () => {
    const model = trying(known({ cyanuricAcidMgL: 0 }), { doses: added('trichlor', 1000) })
    // 1 kg of trichlor in 400 m³: 2.5 mg/L of it, of which 129.1/232.4 becomes cyanuric acid
    expect(value(model, 'cyanuricAcidMgL')).toBeCloseTo((2.5 * 129.1) / 232.4, 0)
    expect(value(model, 'freeChlorineMgL')).toBeGreaterThan(4)
    expect(model.gist).toMatch(/^pH [\d.]+ · saturation [+−][\d.]+ · active chlorine [\d.]+$/)
  })

  it('without an amount yet changes nothing, in a body of unknown volume tells nothing', () => {
    expect(dosesOf(added('trichlor', null))).toEqual([])
    const model = trying(known(), { doses: added('trichlor', 500) }, null)
    expect(model.trouble).toContain('volume')
    expect(trying(known(), { moved: { ph: 7.6 }, doses: added('trichlor', null) }, null).trouble).toBe('')
  })

  it('that no water could hold is refused with the reason', () => {
    expect(trying(known(), { doses: added('hydrochloricAcid31', 40_000) }).trouble).toContain('No such water')
  })

  it('is measured in the reader’s units: liquids by volume, solids by weight', () => {
    expect(amountUnits('hydrochloricAcid31', 'us').map(({ label }) => label)).toEqual(['fl oz', 'gal'])
    expect(amountUnits('trichlor', 'metric').map(({ label }) => label)).toEqual(['g', 'kg'])
    const [dose] = added('hydrochloricAcid31', 3.785411784)
    const unit = unitOfDose({ ...(dose as NonNullable<typeof dose>), unit: 'gal' }, 'us')
    expect(fieldText(3.785411784, unit)).toBe('1')
    // the reader changed units since
    expect(unitOfDose({ ...(dose as NonNullable<typeof dose>), unit: 'gal' }, 'metric').label).toBe('L')
  })
})

describe('the sliders', () => {
  it('are those of the body’s sanitizer, in the reader’s units, and reach the present water', () => {
    const spa = known(
      { freeChlorineMgL: undefined, totalChlorineMgL: undefined, bromineMgL: 30, tempC: 38 },
      { body: { sanitizerSystem: 'bromine', useClass: 'spa', volumeL: 4000 } },
    )
    const controls = prepareControls(spa, baseOf(spa), NOTHING_TRIED, 'us')
    const things = controls.map(({ thing }) => thing)
    expect(things).toContain('bromineMgL')
    expect(things).not.toContain('freeChlorineMgL')
    const bromine = controls.find(({ thing }) => thing === 'bromineMgL')
    expect(bromine?.slider.max).toBeGreaterThanOrEqual(30)
    const temperature = controls.find(({ thing }) => thing === 'tempC')
    expect(temperature?.slider).toMatchObject({ min: 50, step: 1, value: expect.closeTo(100.4, 6) })
    const solids = prepareControls(
      known({ tdsMgL: undefined }),
      baseOf(known({ tdsMgL: undefined })),
      NOTHING_TRIED,
      'us',
    )
    expect(solids.find(({ thing }) => thing === 'tdsMgL')?.now).toContain('assumed')
  })
})
