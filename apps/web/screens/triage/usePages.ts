'use client'
import type { TriageAnswer, TriageRow } from '@sightglass/contract'
import { useQueries } from '@tanstack/react-query'
import { useCallback, useEffect, useRef, useState } from 'react'
import { call } from '../../lib/api.ts'
import { keyOf } from '../../shared/useCall.ts'
import { PAGE_SIZE } from './page-size.ts'
import { holdOrder } from './prepare.ts'
import { apiQuery, type TriageView, writeView } from './query.ts'

const REFRESH_MS = 60_000

export interface Pages {
  /** What the rows below answer: the view asked for, or the one before while its answer is on the way. */
  view: TriageView
  /** The rows are still those of the view before. */
  updating: boolean
  total: number
  /** The newest answer of any page: counts, choices, time. */
  latest: TriageAnswer
  rowAt: (index: number) => TriageRow | undefined
  /** Which rows are on the screen; their pages are loaded and kept fresh. */
  look: (first: number, last: number) => void
  /** Places that would show another body in the fresh order. */
  moved: number
  takeNewOrder: () => void
  /** While true, refreshed rows keep their places; otherwise they move at once. */
  hold: (held: boolean) => void
  facilityName: string | null
  error: Error | null
}

/** The list by pages of which only those on the screen are fetched and refreshed, however long it is. */
export function usePages(view: TriageView, initial: TriageAnswer): Pages {
  const key = writeView(view)
  const initialKey = useRef(key)
  const [visible, setVisible] = useState({ key, pages: [0] })
  const pages = visible.key === key ? visible.pages : [0]
  const [held, setHeld] = useState<{ key: string; rows: Record<number, TriageRow[]> }>({ key, rows: {} })
  const heldRows = held.key === key ? held.rows : {}
  const holding = useRef(false)

  const results = useQueries({
    queries: pages.map((page) => {
      const query = apiQuery(view, page * PAGE_SIZE, PAGE_SIZE)
      const fromServer = page === 0 && key === initialKey.current
      return {
        queryKey: keyOf('getTriage', { query }),
        queryFn: ({ signal }: { signal: AbortSignal }) => call('getTriage', { query, signal }),
        initialData: fromServer ? initial : undefined,
        initialDataUpdatedAt: fromServer ? Date.parse(initial.at) : undefined,
        refetchInterval: REFRESH_MS,
        refetchOnWindowFocus: 'always' as const,
      }
    }),
  })

  const answers = results.map(({ data }) => data)
  const newest = answers
    .filter((answer) => answer !== undefined)
    .reduce<TriageAnswer | undefined>((best, answer) => (best && best.at >= answer.at ? best : answer), undefined)

  // The order that a reader has before their eyes is remembered page by page as it arrives.
  const arrived = results.map(({ dataUpdatedAt }, n) => `${pages[n]}:${dataUpdatedAt}`).join(' ')
  // biome-ignore lint/correctness/useExhaustiveDependencies: `arrived` stands for the answers
  useEffect(() => {
    setHeld((now) => {
      const known = now.key === key ? now.rows : {}
      const next = { ...known }
      pages.forEach((page, n) => {
        const fresh = answers[n]?.rows
        if (fresh && (!holding.current || !known[page])) next[page] = fresh
      })
      return { key, rows: next }
    })
  }, [arrived, key])

  const shown = new Map<number, readonly TriageRow[]>()
  let moved = 0
  pages.forEach((page, n) => {
    const fresh = answers[n]?.rows
    const order = heldRows[page] ?? null
    if (!fresh && !order) return
    const ordered = holdOrder(order, fresh ?? order ?? [])
    shown.set(page, ordered.rows)
    moved += ordered.moved
  })

  const look = useCallback(
    (first: number, lastIndex: number) => {
      const from = Math.floor(Math.max(0, first) / PAGE_SIZE)
      const to = Math.floor(Math.max(0, lastIndex) / PAGE_SIZE)
      const wanted = Array.from({ length: to - from + 1 }, (_, n) => from + n)
      setVisible((now) => (now.key === key && now.pages.join() === wanted.join() ? now : { key, pages: wanted }))
    },
    [key],
  )
  const rowAt = (index: number) =>
    (shown.get(Math.floor(index / PAGE_SIZE)) ?? heldRows[Math.floor(index / PAGE_SIZE)])?.[index % PAGE_SIZE]

  // Until a changed view has its first answer the one before stays, so that the list never flashes empty.
  const settled = useRef({
    key,
    view,
    latest: initial,
    rowAt: (index: number): TriageRow | undefined => initial.rows[index],
  })
  if (newest) settled.current = { key, view, latest: newest, rowAt }
  const updating = settled.current.key !== key
  const { latest } = settled.current
  const shownAt = updating ? settled.current.rowAt : rowAt

  return {
    view: settled.current.view,
    updating,
    total: latest.total,
    latest,
    rowAt: shownAt,
    look,
    moved: updating ? 0 : moved,
    takeNewOrder: () => setHeld({ key, rows: {} }),
    hold: (wanted) => {
      holding.current = wanted
    },
    facilityName: rowAt(0)?.facilityId === view.facilityId ? (rowAt(0)?.facilityName ?? null) : null,
    error: results.find(({ error }) => error)?.error ?? null,
  }
}
