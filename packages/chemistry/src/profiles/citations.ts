import type { Citation } from '../finding.ts'

const law =
  (document: string, edition: string) =>
  (section: string, read = edition): Citation => ({ authority: 'law', document, edition: read, section })

const AS_READ = 'as published online, read November 2026'

const mahc = (edition: string, section: string): Citation => law('CDC Model Aquatic Health Code', edition)(section)

/** Imminent health hazards that call for immediate correction or closure; the item is named. The page read shows no edition. */
export const mahcHazard = (item: number) => mahc(AS_READ, `6.6.3.1 item ${item}`)
export const mahc4th = (section: string) => mahc('4th edition, 2023', section)
export const mahc5th = (section: string) => mahc('5th edition, 2025', section)

/** The minima are MAHC's; which venue has which of them was read in California's rule, which has the same three. */
export const mahcChlorineMinimum: Citation = /* @__PURE__ */ mahc(
  'minima as of 2015; closing as published online, read November 2026',
  '5.7.3.1.1.2 (the minima 1, 2 and 3) and 6.6.3.1 item 2 (closing); which water has which: California 22 CCR 65529(b)',
)
/** MAHC closes below the required residual of any disinfectant; the bromine figures were read in California's rule. */
export const mahcBromineMinimum: Citation = /* @__PURE__ */ mahc(
  AS_READ,
  '6.6.3.1 item 2 (closing below the minimum); the figure: California 22 CCR 65529(b)',
)

/** Where a code sets a residual and MAHC says that failing to keep the required one closes. */
export const closedByMahc = ({ section, ...rest }: Citation, item = 2): Citation => ({
  ...rest,
  section: `${section}; closing: Model Aquatic Health Code 6.6.3.1 item ${item}`,
})

export const california = /* @__PURE__ */ law('California Code of Regulations, Title 22', AS_READ)
export const districtOfColumbia = /* @__PURE__ */ law('District of Columbia Municipal Regulations, Title 25-C', '2017')
export const florida = /* @__PURE__ */ law('Florida Administrative Code', 'current through 24 September 2024')
export const mansfield = /* @__PURE__ */ law('Code of Ordinances of Mansfield, Texas', AS_READ)
export const maryland = /* @__PURE__ */ law('Code of Maryland Regulations (COMAR)', 'current through 20 September 2024')
export const newYork = /* @__PURE__ */ law('New York Codes, Rules and Regulations, Title 10', AS_READ)
export const northCarolina = /* @__PURE__ */ law(
  'North Carolina Administrative Code, Title 15A',
  'current through 16 September 2024',
)
export const pimaCounty = /* @__PURE__ */ law('Pima County Code, Arizona', AS_READ)
export const quebec = /* @__PURE__ */ law('Québec, Regulation Q-2, r. 39', AS_READ)
export const texas = /* @__PURE__ */ law('Texas Administrative Code, Title 25', 'current through 20 September 2024')
export const victoria = /* @__PURE__ */ law(
  'Victoria, Public Health and Wellbeing Regulations 2019',
  'S.R. No. 135/2019, as made',
)

export const practice: Citation = {
  authority: 'practice',
  document: 'common practice, no source',
  edition: '',
  section: '',
}

/** Both texts were read; they hold in their own states, so that elsewhere the rule is one of practice. */
export const noFeedWithoutFlow: Citation = {
  ...practice,
  document:
    'common practice; law in some states, so in Wyoming (010-4 § 4-11: no feed without adequate return flow) and Indiana (675 IAC 14-4.3-295)',
}
