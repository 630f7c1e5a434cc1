'use client'
import type { Parameter } from '@sightglass/chemistry'
import type { Overview, ReadingCreate } from '@sightglass/contract'
import { useQueryClient } from '@tanstack/react-query'
import { useRouter } from 'next/navigation'
import { useRef, useState } from 'react'
import { call } from '../../lib/api.ts'
import { type Draft, type Errors, problemByRow, readDraft, readTexts } from '../../shared/entry.ts'
import { problemFrom } from '../../shared/Problem.tsx'
import { noteBefore } from '../../shared/standingBefore.ts'
import { keyOf } from '../../shared/useCall.ts'

type Entered = Omit<ReadingCreate, 'bodyId'>

/** The way of one entry from what is typed to stored: checked here, then by the API, each complaint at its field. */
export function useEntry(overview: Overview) {
  const router = useRouter()
  const client = useQueryClient()
  const form = useRef<HTMLFormElement>(null)
  const [errors, setErrors] = useState<Errors>({})
  const [asked, setAsked] = useState<Parameter[]>([])
  const [failure, setFailure] = useState<unknown>(null)
  const [storing, setStoring] = useState(false)
  const { body, facility, standing } = overview

  async function submit(
    draft: Draft,
    reasonNeeded: boolean,
    what: string,
    store: (reading: Entered) => Promise<unknown>,
  ) {
    if (storing) return false
    const entry = readDraft(draft, facility.timeZone, Date.now(), { reasonNeeded })
    setFailure(null)
    setErrors(entry.state === 'held' ? entry.errors : {})
    if (entry.state === 'held') {
      setAsked((now) => [...now, ...entry.unusual.map(({ key }) => key)])
      focusFirstTrouble(form)
      return false
    }
    setStoring(true)
    try {
      await store(entry.reading)
    } catch (error) {
      const { rows, rest } = problemByRow(problemFrom(error))
      setErrors(rows.get(0) ?? {})
      setFailure(rows.size && rest.length === 0 ? null : error)
      setStoring(false)
      focusFirstTrouble(form)
      return false
    }
    noteBefore(body.id, { severity: standing?.severity ?? 'unheard', score: standing?.score ?? null, what })
    const params = { bodyId: body.id }
    // the write has had the body judged anew
    const judged = await call('getOverview', { params }).catch(() => null)
    if (judged) client.setQueryData(keyOf('getOverview', { params }), judged)
    router.push(`/bodies/${body.id}`)
    router.refresh()
    return true
  }

  return {
    form,
    errors,
    failure,
    storing,
    submit,
    /** What was asked about stays on the page with its answer. */
    unusualOf: (draft: Draft) =>
      readTexts(draft.texts, [], draft.system).unusual.filter(({ key }) => asked.includes(key)),
    reset: () => {
      setErrors({})
      setAsked([])
      setFailure(null)
    },
  }
}

function focusFirstTrouble(form: React.RefObject<HTMLElement | null>) {
  requestAnimationFrame(() =>
    form.current?.querySelector<HTMLElement>('[aria-invalid=true], .unusual input:not(:checked)')?.focus(),
  )
}
