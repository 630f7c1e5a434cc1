import { aerated, afterAddition, carbonateSystem, phOf, saturationIndex, type Water } from '@sightglass/chemistry'
import { type Check, numbers, table, waterOf } from './check.ts'

type Row = Record<string, string>

/** mg/L of dissolved solids for each mmol, as the tables count them: what comes in less the hydrogen carbonate that goes. */
const SOLIDS = { HCl: -25.6, H2SO4: -26, NaOH: 84, NaHCO3: 84, Na2CO3: 168 }
const CARBON = { HCl: 0, H2SO4: 0, NaOH: 0, NaHCO3: 1, Na2CO3: 1 }

const startOf = (row: Row, alkalinity: string, solids: string): Water => {
  const [tempC, ph, totalAlkalinityMgL, calciumHardnessMgL, tdsMgL, cyanuricAcidMgL, boronMgL] = numbers(
    row,
    'temp_c',
    'start_ph',
    alkalinity,
    'calcium_hardness_mgl_caco3',
    solids,
    'cya_mgl',
    'borate_mgl_b',
  ) as [number, number, number, number, number, number, number]
  return waterOf({ tempC, ph, totalAlkalinityMgL, calciumHardnessMgL, tdsMgL, cyanuricAcidMgL, boronMgL })
}

const held =
  (source: string, locus: string, given: object) =>
  (quantity: string, expect: number, tolerance: number, because: string, ours: () => number): Check => ({
    source,
    quantity,
    locus,
    kind: 'otherProgram',
    given,
    expect,
    ours,
    tolerance,
    because,
  })

const REQUIRED = 'as required'
const MGL = 50.04345

function doses(name: 'acid-dose.csv' | 'base-dose.csv', sign: 1 | -1): Check[] {
  return table(name).flatMap((row) => {
    const water = startOf(row, 'start_ta_mgl_caco3', 'start_tds_mgl')
    const chemical = row.chemical as keyof typeof SOLIDS
    const mmol = Number(row.dose_mmol)
    const after = () =>
      afterAddition(water, {
        alkalinityMeqL: sign * Number(row.dose_meq),
        inorganicCarbonMmolL: CARBON[chemical] * mmol,
        dissolvedSolidsMgL: SOLIDS[chemical] * mmol,
        sulfateMgL: chemical === 'H2SO4' ? 96.06 * mmol : 0,
      })
    const check = held(`PHREEQC, ${sign < 0 ? 'acid' : 'base'} added`, `${name} row ${row.row}`, {
      water: row.water,
      chemical,
      mmol,
    })
    const system = () => carbonateSystem(after())
    const theirs = (column: string) => Number(row[column])
    return [
      check('pH', theirs('end_ph'), 0.02, REQUIRED, () => after().ph),
      check('alkalinity, mg/L', theirs('end_ta_mgl_caco3'), 0.5, REQUIRED, () => after().totalAlkalinityMgL),
      check(
        'carbonate alkalinity, mg/L',
        theirs('end_carbonate_alk_meq') * MGL,
        0.5,
        REQUIRED,
        () => system().alkalinity.carbonate,
      ),
      check(
        'cyanurate alkalinity, mg/L',
        theirs('end_cyanurate_alk_meq') * MGL,
        0.5,
        REQUIRED,
        () => system().alkalinity.cyanurate,
      ),
      check(
        'borate alkalinity, mg/L',
        theirs('end_borate_alk_meq') * MGL,
        0.5,
        REQUIRED,
        () => system().alkalinity.borate,
      ),
      check(
        'inorganic carbon before, mmol/L',
        theirs('start_dic_mmol'),
        0.005 * theirs('start_dic_mmol'),
        '0.5 % of the value',
        () => carbonateSystem(water).inorganicCarbonMmolL,
      ),
      check('pH from inorganic carbon', theirs('end_ph'), 0.02, REQUIRED, () => phOf(after(), theirs('end_dic_mmol'))),
      check(
        'log10 of carbon dioxide pressure',
        theirs('end_log10_pco2_atm'),
        0.03,
        'pH and a little for the constants',
        () => Math.log10(system().carbonDioxidePpm / 1e6),
      ),
      check(
        'saturation index',
        theirs('end_si_calcite'),
        0.08,
        'phreeqc.dat has another fit of calcite',
        () => saturationIndex(after()) ?? Number.NaN,
      ),
    ]
  })
}

const air: Check[] = table('aeration.csv').flatMap((row) => {
  const water = startOf(row, 'ta_mgl_caco3', 'tds_mgl')
  const ppm = Number(row.pco2_ppm_of_1_atm)
  const check = held('PHREEQC, balance with air', `aeration.csv row ${row.row}`, { water: row.water, ppm })
  return [
    check('pH', Number(row.end_ph), 0.02, REQUIRED, () => aerated(water, ppm).ph),
    check('alkalinity, mg/L', Number(row.ta_mgl_caco3), 0.5, REQUIRED, () => aerated(water, ppm).totalAlkalinityMgL),
    check(
      'inorganic carbon, mmol/L',
      Number(row.end_dic_mmol),
      0.005 * Number(row.end_dic_mmol),
      '0.5 % of the value',
      () => carbonateSystem(aerated(water, ppm)).inorganicCarbonMmolL,
    ),
    check(
      'carbon dioxide of that water, ppm',
      ppm,
      0.001 * ppm,
      'the air’s own',
      () => carbonateSystem(aerated(water, ppm)).carbonDioxidePpm,
    ),
    check(
      'log10 of carbon dioxide pressure before',
      Number(row.start_log10_pco2_atm),
      0.03,
      'pH and a little for the constants',
      () => Math.log10(carbonateSystem(water).carbonDioxidePpm / 1e6),
    ),
  ]
})

// equal equivalents of hydrochloric and of sulfuric acid, in the pairs of the table
const PAIRS = table('acid-dose.csv')
const sameAcid: Check[] = PAIRS.flatMap((row, index) => {
  const next = PAIRS[index + 1]
  if (row.chemical !== 'HCl' || next?.chemical !== 'H2SO4' || next.dose_meq !== row.dose_meq) return []
  const water = startOf(row, 'start_ta_mgl_caco3', 'start_tds_mgl')
  const dose = -Number(row.dose_meq)
  return [
    held('PHREEQC, HCl less H2SO4 at equal equivalents', `acid-dose.csv rows ${row.row}, ${next.row}`, { dose })(
      'difference in pH',
      Number(row.end_ph) - Number(next.end_ph),
      0.001,
      'sulfate pairs with calcium and sodium a little, which is not reckoned here',
      () =>
        afterAddition(water, { alkalinityMeqL: dose, dissolvedSolidsMgL: 35.453 * -dose }).ph -
        afterAddition(water, { alkalinityMeqL: dose, dissolvedSolidsMgL: 48.03 * -dose, sulfateMgL: 48.03 * -dose }).ph,
    ),
  ]
})

export const doseChecks: Check[] = [...doses('acid-dose.csv', -1), ...doses('base-dose.csv', 1), ...air, ...sameAcid]
