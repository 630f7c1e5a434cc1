'use client'
import { type ReactNode, useEffect, useId, useRef } from 'react'

/** Open as long as it is drawn; Escape and the backdrop of the browser close it. */
export function Dialog({ title, onClose, children }: { title: string; onClose: () => void; children: ReactNode }) {
  const id = useId()
  const ref = useRef<HTMLDialogElement>(null)
  useEffect(() => {
    if (!ref.current?.open) ref.current?.showModal()
  }, [])
  return (
    <dialog ref={ref} aria-labelledby={id} onClose={onClose} className="thing-dialog">
      <h2 id={id}>{title}</h2>
      {children}
    </dialog>
  )
}
