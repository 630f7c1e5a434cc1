'use client'
import { useWindowVirtualizer } from '@tanstack/react-virtual'
import { useEffect, useLayoutEffect, useRef, useState } from 'react'
import { counted } from '../../shared/numbers.ts'
import { useUnits } from '../../shared/Units.tsx'
import { useNow } from '../../shared/useNow.ts'
import { prepareRow } from './prepare.ts'
import { Row } from './Row.tsx'
import { useKeys } from './useKeys.ts'
import type { Pages } from './usePages.ts'

const ROW_HEIGHT = 76
const STICKY_HEIGHT = 40
// What the server draws before it knows the window.
const FIRST_RECT = { width: 1440, height: 900 }

export function List({ pages }: { pages: Pages }) {
  const { view } = pages
  const system = useUnits()
  const now = useNow(pages.latest.at)
  const ref = useRef<HTMLOListElement>(null)
  const [listTop, setListTop] = useState(0)
  useLayoutEffect(() => setListTop(ref.current ? ref.current.getBoundingClientRect().top + window.scrollY : 0), [])

  const virtual = useWindowVirtualizer({
    count: pages.total,
    estimateSize: () => ROW_HEIGHT,
    getItemKey: (index) => pages.rowAt(index)?.bodyId ?? index,
    overscan: 8,
    scrollMargin: listTop,
    scrollPaddingStart: STICKY_HEIGHT,
    scrollPaddingEnd: 16,
    initialRect: FIRST_RECT,
  })
  const items = virtual.getVirtualItems()
  const first = items[0]?.index ?? 0
  const last = items.at(-1)?.index ?? 0
  const { look, hold } = pages
  useEffect(() => look(first, last), [look, first, last])

  // At the top and untouched, the list puts itself in order; under a reader's hand it keeps still and says so.
  const focused = useRef(false)
  const settle = () => hold(focused.current || window.scrollY > listTop)
  useEffect(settle)
  const active = useKeys(ref, pages.total, (index) => virtual.scrollToIndex(index, { align: 'auto' }))

  return (
    <section aria-label="Bodies of water" aria-busy={pages.updating}>
      <div className="list-bar">
        <p className="keys">
          <kbd>j</kbd> <kbd>k</kbd> or arrows move, <kbd>Enter</kbd> opens, <kbd>/</kbd> searches
        </p>
        <p aria-live="polite" className="moved">
          {pages.moved > 0 && (
            <button type="button" className="link-button" onClick={pages.takeNewOrder}>
              {counted(pages.moved, 'place')} changed since; show the new order
            </button>
          )}
        </p>
      </div>
      <div className="row-heads" aria-hidden="true">
        <span>Standing</span>
        <span>Body of water</span>
        <span>What is wrong</span>
        <span>Test kit</span>
        <span>Controller</span>
        <span>pH over ORP, 7 days</span>
        <span>Chemical, last heard</span>
      </div>
      <ol
        ref={ref}
        className={view.byFacility ? 'rows rows-grouped' : 'rows'}
        style={{ height: virtual.getTotalSize() }}
        onFocus={() => {
          focused.current = true
          settle()
        }}
        onBlur={() => {
          focused.current = false
        }}
      >
        {items.map(({ index, key, start }) => {
          const row = pages.rowAt(index)
          const before = index > 0 ? pages.rowAt(index - 1) : undefined
          return (
            <li
              key={key}
              ref={virtual.measureElement}
              data-index={index}
              aria-setsize={pages.total}
              aria-posinset={index + 1}
              className="row-place"
              style={{ transform: `translateY(${start - virtual.options.scrollMargin}px)` }}
            >
              {row ? (
                <Row
                  model={prepareRow(row, system, now)}
                  heading={view.byFacility && before?.facilityId !== row.facilityId ? row.area : null}
                  tabbable={index === active}
                />
              ) : (
                <div className="row row-waiting">Loading body {index + 1} …</div>
              )}
            </li>
          )
        })}
      </ol>
    </section>
  )
}
