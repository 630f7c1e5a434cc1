'use client'
import { useEffect, useId, useRef, useState } from 'react'
import { useCall } from './useCall.ts'

export interface PickedFacility {
  id: string
  name: string
  timeZone: string
}

/** Finds one of many facilities by a part of its name. */
export function FacilityPicker({
  label,
  picked,
  onPick,
  error,
}: {
  label: string
  picked: PickedFacility | null
  onPick: (facility: PickedFacility | null) => void
  error?: string
}) {
  const id = useId()
  const [text, setText] = useState(picked?.name ?? '')
  const [open, setOpen] = useState(false)
  const [active, setActive] = useState(0)
  const pickedName = useRef(picked?.name ?? '')
  const words = text === pickedName.current ? '' : text.trim()
  const { data } = useCall('listFacilities', { query: { q: words || undefined, limit: 12 } }, { enabled: open })
  const found = open ? (data?.items ?? []) : []

  useEffect(() => {
    pickedName.current = picked?.name ?? ''
    setText(picked?.name ?? '')
  }, [picked?.name])

  const choose = (index: number) => {
    const facility = found[index]
    if (!facility) return
    setOpen(false)
    setText(facility.name)
    onPick({ id: facility.id, name: facility.name, timeZone: facility.timeZone })
  }
  const onKeyDown = (event: React.KeyboardEvent) => {
    if (event.key === 'ArrowDown' || event.key === 'ArrowUp') {
      event.preventDefault()
      setOpen(true)
      setActive((now) => Math.max(0, Math.min(found.length - 1, now + (event.key === 'ArrowDown' ? 1 : -1))))
    } else if (event.key === 'Enter' && open && found.length) {
      event.preventDefault()
      choose(active)
    } else if (event.key === 'Escape') setOpen(false)
  }

  return (
    <div className={`field picker${error ? ' field-wrong' : ''}`}>
      <label htmlFor={id}>{label}</label>
      <input
        id={id}
        type="text"
        role="combobox"
        autoComplete="off"
        aria-expanded={open}
        aria-controls={`${id}-list`}
        aria-activedescendant={open && found[active] ? `${id}-${active}` : undefined}
        aria-invalid={error ? true : undefined}
        aria-describedby={error ? `${id}-error` : undefined}
        placeholder="Type a part of its name"
        value={text}
        onChange={(event) => {
          setText(event.target.value)
          setActive(0)
          setOpen(true)
          if (picked && event.target.value !== picked.name) onPick(null)
        }}
        onFocus={() => setOpen(true)}
        onBlur={() => setTimeout(() => setOpen(false), 150)}
        onKeyDown={onKeyDown}
      />
      <div id={`${id}-list`} role="listbox" aria-label={label} className="picker-list" hidden={!open}>
        {found.map((facility, index) => (
          // biome-ignore lint/a11y/useKeyWithClickEvents: the keys are the input's (aria-activedescendant)
          <div
            key={facility.id}
            id={`${id}-${index}`}
            role="option"
            tabIndex={-1}
            aria-selected={index === active}
            onMouseDown={(event) => event.preventDefault()}
            onClick={() => choose(index)}
          >
            {facility.name}
            <span className="faint"> {facility.area}</span>
          </div>
        ))}
        {open && data && found.length === 0 && (
          <div role="option" aria-selected={false} aria-disabled="true" tabIndex={-1} className="faint">
            No facility has “{words}” in its name
          </div>
        )}
      </div>
      {error && (
        <span className="field-error" id={`${id}-error`}>
          {error}
        </span>
      )}
    </div>
  )
}
