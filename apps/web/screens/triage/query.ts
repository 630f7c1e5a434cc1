import {
  FINDING_KINDS,
  type FindingKind,
  SANITIZER_SYSTEMS,
  type SanitizerSystem,
  SEVERITIES,
  type Severity,
} from '@sightglass/chemistry'
import { TRIAGE_SORTS } from '@sightglass/contract'

export type TriageSort = (typeof TRIAGE_SORTS)[number]

/** What the list shows; it lives in the address, so that a view can be shared and the back button works. */
export interface TriageView {
  severity: Severity[]
  kind: FindingKind[]
  area: string[]
  sanitizerSystem: SanitizerSystem[]
  facilityId: string
  q: string
  sort: TriageSort
  byFacility: boolean
}

export const EVERYTHING: TriageView = {
  severity: [],
  kind: [],
  area: [],
  sanitizerSystem: [],
  facilityId: '',
  q: '',
  sort: 'worst',
  byFacility: false,
}

type Search = Pick<URLSearchParams, 'get' | 'getAll'>

const among = <Word extends string>(words: string[], known: readonly string[]) =>
  known.filter((word) => words.includes(word)) as Word[]
const UUID = /^[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}$/i

/** Reads an address; words that mean nothing here are left out, so that an old or mistyped link still shows the list. */
export function readView(search: Search): TriageView {
  const sort = search.get('sort')
  const facilityId = search.get('facility') ?? ''
  return {
    severity: among<Severity>(search.getAll('severity'), SEVERITIES),
    kind: among<FindingKind>(search.getAll('finding'), Object.keys(FINDING_KINDS)),
    area: [...new Set(search.getAll('area').filter(Boolean))],
    sanitizerSystem: among<SanitizerSystem>(search.getAll('system'), SANITIZER_SYSTEMS),
    facilityId: UUID.test(facilityId) ? facilityId : '',
    q: (search.get('q') ?? '').trim().slice(0, 100),
    sort: TRIAGE_SORTS.find((known) => known === sort) ?? 'worst',
    byFacility: search.get('group') === 'facility',
  }
}

/** The address of a view, without what is as by default. */
export function writeView(view: TriageView): string {
  const search = new URLSearchParams()
  for (const word of view.severity) search.append('severity', word)
  for (const word of view.kind) search.append('finding', word)
  for (const word of view.area) search.append('area', word)
  for (const word of view.sanitizerSystem) search.append('system', word)
  if (view.facilityId) search.set('facility', view.facilityId)
  if (view.q) search.set('q', view.q)
  if (view.sort !== 'worst') search.set('sort', view.sort)
  if (view.byFacility) search.set('group', 'facility')
  const text = search.toString()
  return text ? `/?${text}` : '/'
}

/** The API's query for one page of a view. */
export const apiQuery = (view: TriageView, offset: number, limit: number) => ({
  offset,
  limit,
  ...(view.severity.length && { severity: view.severity }),
  ...(view.kind.length && { kind: view.kind }),
  ...(view.area.length && { area: view.area }),
  ...(view.sanitizerSystem.length && { sanitizerSystem: view.sanitizerSystem }),
  ...(view.facilityId && { facilityId: view.facilityId }),
  ...(view.q && { q: view.q }),
  sort: view.sort,
  ...(view.byFacility && { byFacility: 'true' as const }),
})

export const isNarrowed = (view: TriageView) =>
  view.severity.length + view.kind.length + view.area.length + view.sanitizerSystem.length > 0 ||
  view.facilityId !== '' ||
  view.q !== ''

export const toggled = <Word>(words: Word[], word: Word) =>
  words.includes(word) ? words.filter((other) => other !== word) : [...words, word]
