/** A work that numbers here are taken from; the comment above it says which. Docstrings name these keys after `@source`. */
interface Source {
  citation: string
}

export const SOURCES = {
  /** K1 and K2 of carbonic acid, calcite solubility, the pairs CaHCO3+ and CaCO3 aq, 0-90 °C */
  plummerBusenberg1982: {
    citation:
      'Plummer, L.N. and Busenberg, E. (1982): The solubilities of calcite, aragonite and vaterite in CO2-H2O solutions between 0 and 90 °C. Geochimica et Cosmochimica Acta 46, 1011-1040. As restated in the USGS databases phreeqc.dat and wateq4f.dat.',
  },
  /** the pair NaHCO3 aq, boric acid, ion parameters a and b of the activity equation */
  wateq4f: {
    citation:
      'USGS, database wateq4f.dat of PHREEQC 3 (after Ball, J.W. and Nordstrom, D.K. (1991), Open-File Report 91-183).',
  },
  /** ion product of water (coefficients from memory, held against ten values computed with the database) */
  phreeqcDat: {
    citation: 'USGS, database phreeqc.dat of PHREEQC 3.8.8.',
  },
  /** the activity equation; A and B from the density and dielectric constant of water (equations from memory, held against PHREEQC) */
  truesdellJones1974: {
    citation:
      'Truesdell, A.H. and Jones, B.F. (1974): WATEQ, a computer program for calculating chemical equilibria of natural waters. Journal of Research of the USGS 2, 233-248.',
  },
  /** pKa of hypochlorous acid (equation from memory, held against the reference table) */
  morris1966: {
    citation:
      'Morris, J.C. (1966): The acid ionization constant of HOCl from 5 to 35°. Journal of Physical Chemistry 70, 3798-3805.',
  },
  /** equilibrium constants of the chlorinated cyanurates at 25 °C */
  obrien1974: {
    citation:
      "O'Brien, J.E., Morris, J.C. and Butler, J.N. (1974), in Rubin, A.J. (ed.): Chemistry of Water Supply, Treatment, and Distribution. Ann Arbor Science, 333-358. Values as in the US EPA drinking-water model, EPA/600/S-17/165.",
  },
  /** pK6 = 1743/T + 1.12 of cyanuric acid; its slope with temperature */
  wahman2018: {
    citation:
      'Wahman, D.G. (2018): First acid ionization constant of the drinking water relevant chemical cyanuric acid from 5 to 35 °C. Environmental Science: Water Research & Technology 4, 1522-1530, doi 10.1039/c8ew00431e.',
  },
  /** pK7a = 2028/T - 2.15 and pK9a = 2229/T - 1.65; their slopes with temperature */
  wahmanAlexander2019: {
    citation:
      'Wahman, D.G. and Alexander, M.T. (2019): Environmental Engineering Science 36, 283-294, doi 10.1089/ees.2018.0387.',
  },
  /** temperature, calcium and alkalinity factors, constant 12.1, tolerance -0.5 to +0.5 */
  nycrr6130: {
    citation: '10 NYCRR 6-1.30 (New York State), Langelier saturation index table.',
  },
  /** constant 12.1 under and 12.2 over 1,000 mg/L of dissolved solids */
  montana37115: {
    citation: 'Montana ARM 37.115.1308, Table 7 (version marked obsolete).',
  },
  /** formed stool: 2 mg/L, pH 7.2-7.5, about 30 minutes; who leaves the water, how it is taken out, where to sample */
  cdcMmwr2001: {
    citation: 'CDC (2001): Responding to fecal accidents in disinfected swimming venues. MMWR 50(20).',
  },
  /** CT 15,300 mg·min/L for 99.9 % of Cryptosporidium at pH 7.2-7.5 and 25 °C; CT = mg/L × minutes */
  cdcMmwr2008: {
    citation: 'CDC (2008): MMWR 57, 151-152, with the conditions as reprinted in JAMA 300, 786.',
  },
  /** formed stool: 2 ppm, pH 7.5 or less */
  cdcFecal2010: {
    citation: 'CDC (2010): Fecal Incident Response Recommendations, last updated 15 November 2010.',
  },
  /** vomit is treated as formed stool; CT 15,300 for loose stool */
  cdcVsp2018: {
    citation: 'CDC (2018): Vessel Sanitation Program, Operations Manual, annex 13.9.1.',
  },
  /** CT 10,400 and 15,300 for two strains at pH 7.5 */
  shields2008: {
    citation:
      'Shields, J.M., Hill, V.R., Arrowood, M.J. and Beach, M.J. (2008): Inactivation of Cryptosporidium parvum under chlorinated recreational water conditions. Journal of Water and Health 6, 513-520.',
  },
  /** water with feces or vomit: pH 7.5 or lower, 25 °C or warmer, chlorine without stabilizer, start of the time */
  mahc6523: {
    citation:
      'CDC Model Aquatic Health Code 6.5.2.3 with its annex, as published online, read November 2026; no edition shown.',
  },
  /** diarrhea in water with cyanuric acid: pH 6.5, 40 mg/L, 30 hours; tried with 50 mg/L of cyanuric acid */
  mahc65321: {
    citation:
      'CDC Model Aquatic Health Code 6.5.3.2.1 with its annex, as published online, read November 2026; no edition shown.',
  },
  /** bromine from a chlorine reading: 2.25; hypobromous acid 94 % at pH 7.5 and 83 % at 8.0, from which the pKa follows */
  mahc573122: {
    citation:
      'CDC Model Aquatic Health Code 5.7.3.1.2.2 with its annex, as published online, read November 2026; no edition shown.',
  },
  /** breakpoint: at least ten times the measured combined chlorine is added */
  comar10170143: {
    citation: 'COMAR 10.17.01.43 H (Maryland).',
  },
  /** breakpoint: ten times the combined chlorine; worked example of 48 L */
  kfla2011: {
    citation: 'KFL&A Public Health: Breakpoint Chlorination, revised 2011-11-15.',
  },
  /** CT for Giardia (three powers of ten) and viruses (four) with free chlorine, 10-25 °C */
  epa815R20003: {
    citation:
      'US EPA (2020): Disinfection Profiling and Benchmarking, Technical Guidance Manual, EPA 815-R-20-003, tables B-1 and B-2, as transcribed in public source code (second source); how the table is read: a help page on it.',
  },
  /** powers of ten of Giardia killed = 3 × CT / CT for 99.9 % */
  cfr141534: {
    citation: '40 CFR 141.534.',
  },
  /** E. coli O157:H7 under 1 minute, hepatitis A virus about 16, Giardia about 45 */
  cdcChlorineTimes: {
    citation:
      'CDC: chlorine disinfection timetable at 1 ppm, pH 7.5 and 25 °C, as restated by two training pages (second source).',
  },
  /** carbon dioxide in the air: 423.9 ppm in 2024 */
  wmo2025: {
    citation:
      'World Meteorological Organization (2025): Greenhouse Gas Bulletin 21, as restated by the press (second source).',
  },
  /** dissolved solids over conductivity at 25 °C lie between 0.6 and 0.9 mg/L for each µS/cm */
  pawlowicz2008: {
    citation:
      'Pawlowicz, R. (2008): Calculating the conductivity of natural waters. Limnology and Oceanography: Methods 6, 489-501 (abstract).',
  },
  /** calomel and silver chloride electrodes against the standard hydrogen electrode at 25 °C */
  referenceElectrodes: {
    citation:
      'Article "Reduction potential", section on converting potentials between reference electrodes (second source); field meter manual Eijkelkamp Aquameter, table of 3 M KCl silver chloride electrodes.',
  },
} as const satisfies Record<string, Source>
export type SourceKey = keyof typeof SOURCES
