'use client'
import type { ImportDetail, ImportDetect, Layout, Plant } from '@sightglass/contract'
import { useMutation, useQueryClient } from '@tanstack/react-query'
import Link from 'next/link'
import { useRouter } from 'next/navigation'
import { useRef } from 'react'
import { call } from '../../lib/api.ts'
import { Confirm, type ConfirmHandle } from '../../shared/Confirm.tsx'
import { bytes } from '../../shared/numbers.ts'
import { ProblemNote } from '../../shared/Problem.tsx'
import { exactTime } from '../../shared/time.ts'
import { keyOf, useCall } from '../../shared/useCall.ts'
import { useNow } from '../../shared/useNow.ts'
import { LayoutEditor } from './LayoutEditor.tsx'
import { isWorking, progressWords, STATE_WORDS, writtenAs } from './prepare.ts'
import { Result } from './Result.tsx'

const POLL_MS = 400

export function ImportScreen({ initial, plant, at }: { initial: ImportDetail; plant: Plant; at: string }) {
  const params = { importId: initial.id }
  const client = useQueryClient()
  const router = useRouter()
  const now = useNow(at)
  const discardDialog = useRef<ConfirmHandle>(null)
  const { data = initial, error } = useCall(
    'getImport',
    { params },
    {
      initial,
      every: (detail) => (detail && isWorking(detail.state) ? POLL_MS : false),
    },
  )
  const keep = (detail: ImportDetail) => {
    client.setQueryData(keyOf('getImport', { params }), detail)
    client.invalidateQueries({ queryKey: ['getImport'] })
  }
  const detect = useMutation({
    mutationFn: (said: ImportDetect) => call('detectImport', { params, body: said }),
    onSuccess: keep,
  })
  const check = useMutation({
    mutationFn: (layout: Layout) => call('checkImport', { params, body: { layout } }),
    onSuccess: keep,
  })
  const run = useMutation({
    mutationFn: (rememberAs: string) => call('runImport', { params, body: rememberAs ? { rememberAs } : {} }),
    onSuccess: keep,
  })
  const discard = useMutation({
    mutationFn: () => call('discardImport', { params }),
    onSuccess: () => router.push('/imports'),
  })
  const failure = detect.error ?? check.error ?? run.error ?? discard.error ?? error
  const working = isWorking(data.state) || check.isPending || run.isPending

  return (
    <main className="page" id="main">
      <nav aria-label="Where you are" className="crumbs">
        <Link href="/imports">Imports</Link> <span aria-hidden="true">/</span>{' '}
        <Link href={`/facilities/${plant.facility.id}`}>{plant.facility.name}</Link>
      </nav>
      <header className="page-head">
        <div>
          <h1 className="file-name">{data.fileName}</h1>
          <p className="faint" suppressHydrationWarning>
            {bytes(data.bytes)}, loaded {exactTime(data.createdAt, plant.facility.timeZone, now)} by {data.person}
            {data.layoutName && `, layout “${data.layoutName}”`}
          </p>
        </div>
        <p className="import-state" role="status">
          {STATE_WORDS[data.state]}
        </p>
      </header>
      {failure && <ProblemNote error={failure} />}
      {data.failure && (
        <div className="problem" role="alert">
          <strong>The import failed; nothing of it was stored.</strong> {data.failure}
        </div>
      )}
      {working ? (
        <div className="progress-line" role="status">
          <progress value={data.progress} max={1} aria-label={STATE_WORDS[data.state]} />
          <span>{isWorking(data.state) ? progressWords(data) : 'Asking the server …'}</span>
        </div>
      ) : (
        <>
          {(data.state === 'checked' || data.state === 'done') && (
            <Result detail={data} plant={plant} now={now} onRun={run.mutate} />
          )}
          {data.state !== 'done' &&
            (data.detection ? (
              <LayoutEditor
                key={writtenAs(data.detection)}
                detail={data}
                detection={data.detection}
                plant={plant}
                onDetect={detect.mutate}
                onCheck={check.mutate}
                problem={check.error}
              />
            ) : (
              <p>The layout of this file could not be read. Discard it and load the file again.</p>
            ))}
          {data.state !== 'done' && (
            <p className="buttons">
              <button type="button" className="button danger" onClick={() => discardDialog.current?.ask()}>
                Discard this file
              </button>
            </p>
          )}
        </>
      )}
      <Confirm
        ref={discardDialog}
        title="Discard this file?"
        words="Nothing of it has been imported. The file itself stays where you took it from."
        act="Discard it"
        onConfirm={() => discard.mutate()}
      />
    </main>
  )
}
