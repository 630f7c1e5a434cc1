'use client'
import { type RefObject, useEffect, useRef, useState } from 'react'

const STEPS: Record<string, number> = { ArrowDown: 1, j: 1, ArrowUp: -1, k: -1, PageDown: 10, PageUp: -10 }
const typing = 'input, select, textarea, [contenteditable], details[open] *'

/** Moves between the rows of a virtual list: one row at a time can be reached by Tab, keys go from row to row. */
export function useKeys(list: RefObject<HTMLElement | null>, total: number, scrollTo: (index: number) => void) {
  const [active, setActive] = useState(0)
  useEffect(() => {
    if (left.search === location.search) setActive(left.index)
  }, [])
  const state = useRef({ active, total, scrollTo })
  state.current = { active, total, scrollTo }

  useEffect(() => {
    // A row that scrolls away is no longer drawn and loses the focus to the page; the keys still mean the list then.
    let inUse = false
    const onFocus = (event: FocusEvent) => {
      inUse = list.current?.contains(event.target as Node) ?? false
      const index = inUse && (event.target as HTMLElement).closest('[data-index]')?.getAttribute('data-index')
      if (index) left = { search: location.search, index: Number(index) }
    }
    const onKey = (event: KeyboardEvent) => {
      const target = event.target as HTMLElement
      if (event.ctrlKey || event.metaKey || event.altKey || target.closest(typing)) return
      if (event.key === '/') {
        event.preventDefault()
        document.getElementById('triage-search')?.focus()
        return
      }
      const inList = list.current?.contains(target) || (inUse && target === document.body)
      const step = event.key === 'Home' ? -Infinity : event.key === 'End' ? Infinity : STEPS[event.key]
      if (step === undefined || state.current.total === 0) return
      if (!inList && !(target === document.body && Math.abs(step) === 1)) return
      event.preventDefault()
      const from = Number(target.closest('[data-index]')?.getAttribute('data-index') ?? state.current.active)
      const next = Math.max(0, Math.min(state.current.total - 1, inList ? from + step : state.current.active))
      setActive(next)
      state.current.scrollTo(next)
      wanted = next
      focusSoon(list, next)
    }
    document.addEventListener('focusin', onFocus)
    document.addEventListener('keydown', onKey)
    return () => {
      document.removeEventListener('focusin', onFocus)
      document.removeEventListener('keydown', onKey)
    }
  }, [list])
  return Math.min(active, Math.max(0, total - 1))
}

/** The row that was last in use: who comes back from its page goes on from there. */
let left = { search: '', index: 0 }

let wanted = -1

/** A row far away is drawn only after the list has scrolled to it, and is a link only when its page has come. The latest
 *  wish counts, and none once the reader has gone elsewhere. */
function focusSoon(list: RefObject<HTMLElement | null>, index: number, tries = 300) {
  if (wanted !== index) return
  const link = list.current?.querySelector<HTMLElement>(`[data-index="${index}"] a.row-link`)
  if (link) link.focus({ preventScroll: true })
  else if (tries > 0) requestAnimationFrame(() => focusSoon(list, index, tries - 1))
}
