import type { RefObject } from 'react'
import type { CloseDraft, ReportKey } from './form.ts'

export const REPORT_KEYS: readonly ReportKey[] = [
  'kind',
  'at',
  'person',
  'note',
  'level',
  'hold',
  'phMax',
  'by',
  'reason',
]
export const CLOSE_KEYS: readonly (keyof CloseDraft)[] = ['checks', 'at', 'person', 'note', 'authority', 'reason']

export const focusFirstTrouble = (form: RefObject<HTMLElement | null>) => {
  requestAnimationFrame(() => form.current?.querySelector<HTMLElement>('[aria-invalid=true]')?.focus())
}
