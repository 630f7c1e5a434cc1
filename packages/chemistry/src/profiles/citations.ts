import type { Citation } from '../finding.ts'

const mahc = (edition: string, section: string): Citation => ({
  authority: 'law',
  document: 'CDC Model Aquatic Health Code',
  edition,
  section,
})

/** Imminent health hazards that call for immediate correction or closure; the item is named. The page read shows no edition. */
export const mahcHazard = (item: number) => mahc('as published online, read November 2026', `6.6.3.1 item ${item}`)
export const mahc4th = (section: string) => mahc('4th edition, 2023', section)
export const mahc5th = (section: string) => mahc('5th edition, 2025', section)

/** The minima are MAHC's; which venue has which of them was read in California's rule, which has the same three. */
export const mahcChlorineMinimum: Citation = mahc(
  'minima as of 2015; closing as published online, read November 2026',
  '5.7.3.1.1.2 (the minima 1, 2 and 3) and 6.6.3.1 item 2 (closing); which water has which: California 22 CCR 65529(b)',
)
/** MAHC closes below the required residual of any disinfectant; the bromine figures were read in California's rule. */
export const mahcBromineMinimum: Citation = mahc(
  'as published online, read November 2026',
  '6.6.3.1 item 2 (closing below the minimum); the figure: California 22 CCR 65529(b)',
)

export const california = (section: string): Citation => ({
  authority: 'law',
  document: 'California Code of Regulations, Title 22',
  edition: 'as published online, read November 2026',
  section,
})

export const districtOfColumbia = (section: string): Citation => ({
  authority: 'law',
  document: 'District of Columbia Municipal Regulations, Title 25-C',
  edition: '2017',
  section,
})

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
