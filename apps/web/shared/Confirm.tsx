'use client'
import { type Ref, useId, useImperativeHandle, useRef } from 'react'

export interface ConfirmHandle {
  ask: () => void
}

export function Confirm({
  ref,
  title,
  words,
  act,
  onConfirm,
}: {
  ref: Ref<ConfirmHandle>
  title: string
  words: string
  act: string
  onConfirm: () => void
}) {
  const id = useId()
  const dialog = useRef<HTMLDialogElement>(null)
  useImperativeHandle(ref, () => ({ ask: () => dialog.current?.showModal() }), [])
  return (
    <dialog ref={dialog} aria-labelledby={id}>
      <form method="dialog">
        <h2 id={id}>{title}</h2>
        <p>{words}</p>
        <p className="buttons">
          <button type="submit" className="button danger" onClick={onConfirm}>
            {act}
          </button>
          <button type="submit" className="button quiet">
            Leave it
          </button>
        </p>
      </form>
    </dialog>
  )
}
