'use client'
import type { Overview } from '@sightglass/contract'
import { useQueryClient } from '@tanstack/react-query'
import { useRouter } from 'next/navigation'
import { useRef, useState } from 'react'
import { problemFrom } from '../../shared/Problem.tsx'
import { noteBefore } from '../../shared/standingBefore.ts'
import { errorsOf, readWork, type Unusual, type WorkDraft, type WorkEntry, type WorkErrors } from './form.ts'

/** The way of work from what is typed to stored: checked here, then by the API, each complaint at its field. */
export function useWork({ body, facility, standing }: Pick<Overview, 'body' | 'facility' | 'standing'>) {
  const router = useRouter()
  const client = useQueryClient()
  const form = useRef<HTMLFormElement>(null)
  const [errors, setErrors] = useState<WorkErrors>({})
  const [asked, setAsked] = useState<Unusual[]>([])
  const [failure, setFailure] = useState<unknown>(null)
  const [storing, setStoring] = useState(false)
  const look = () =>
    requestAnimationFrame(() =>
      form.current?.querySelector<HTMLElement>('[aria-invalid=true], .unusual input:not(:checked)')?.focus(),
    )

  async function submit(
    draft: WorkDraft,
    options: { reasonNeeded?: boolean; what: string },
    store: (work: WorkEntry[]) => Promise<unknown>,
  ): Promise<boolean> {
    if (storing) return false
    const read = readWork(draft, facility.timeZone, Date.now(), options)
    setFailure(null)
    setErrors(read.state === 'held' ? read.errors : {})
    if (read.state === 'held') {
      setAsked(read.unusual)
      look()
      return false
    }
    setStoring(true)
    try {
      await store(read.work)
    } catch (error) {
      const told = errorsOf(problemFrom(error))
      setErrors(told.errors)
      setFailure(Object.keys(told.errors).length > 0 && told.rest.length === 0 ? null : error)
      setStoring(false)
      look()
      return false
    }
    const before = { severity: standing?.severity ?? 'unheard', score: standing?.score ?? null, what: options.what }
    noteBefore(body.id, before)
    await client.invalidateQueries()
    router.push(`/bodies/${body.id}`)
    router.refresh()
    return true
  }
  return { form, errors, asked, failure, storing, submit }
}
