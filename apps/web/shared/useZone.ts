'use client'
import { useSyncExternalStore } from 'react'

const nothingToWatch = () => () => undefined

/** The zone of the reader's own clock; null on the server, which cannot know it. */
export const useZone = () =>
  useSyncExternalStore(
    nothingToWatch,
    () => Intl.DateTimeFormat().resolvedOptions().timeZone,
    () => null,
  )
