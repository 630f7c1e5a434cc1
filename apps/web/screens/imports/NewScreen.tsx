'use client'
import Link from 'next/link'
import { useRouter } from 'next/navigation'
import { useRef, useState } from 'react'
import { uploadExport } from '../../lib/api.ts'
import { FacilityPicker, type PickedFacility } from '../../shared/FacilityPicker.tsx'
import { TextField } from '../../shared/Field.tsx'
import { bytes, percent } from '../../shared/numbers.ts'
import { ProblemNote } from '../../shared/Problem.tsx'
import { usePerson } from '../../shared/stored.ts'

type Errors = Partial<Record<'facility' | 'person' | 'file', string>>

export function NewImportScreen({ facility }: { facility: PickedFacility | null }) {
  const router = useRouter()
  const person = usePerson()
  const [picked, setPicked] = useState(facility)
  const [file, setFile] = useState<File | null>(null)
  const [errors, setErrors] = useState<Errors>({})
  const [share, setShare] = useState<number | null>(null)
  const [failure, setFailure] = useState<unknown>(null)
  const upload = useRef<AbortController | null>(null)

  async function send(event: React.FormEvent) {
    event.preventDefault()
    const wrong: Errors = {
      ...(!picked && { facility: 'Choose the facility that the controller stands in.' }),
      ...(!person.value.trim() && { person: 'must name the person' }),
      ...(!file && { file: 'Choose the file that the controller exported.' }),
      ...(file?.size === 0 && { file: 'This file is empty. Export it from the controller again.' }),
    }
    setErrors(wrong)
    if (!picked || !file || Object.keys(wrong).length) return
    setFailure(null)
    setShare(0)
    upload.current = new AbortController()
    try {
      const given = { facilityId: picked.id, person: person.value.trim(), file, signal: upload.current.signal }
      const { id } = await uploadExport(given, setShare)
      router.push(`/imports/${id}`)
    } catch (error) {
      setShare(null)
      if (!(error instanceof DOMException && error.name === 'AbortError')) setFailure(error)
    }
  }

  return (
    <main className="page form-page" id="main">
      <nav aria-label="Where you are" className="crumbs">
        <Link href="/imports">Imports</Link>
      </nav>
      <h1>Load a controller export</h1>
      <p className="lead">
        CSV or text in whatever layout the controller writes. Nothing is stored before you have seen what would come in.
      </p>
      <form onSubmit={send} noValidate>
        <FacilityPicker label="Facility" picked={picked} onPick={setPicked} error={errors.facility} />
        <TextField
          label="Person"
          autoComplete="name"
          value={person.value}
          error={errors.person}
          onChange={(event) => person.set(event.target.value)}
        />
        <DropZone file={file} error={errors.file} onFile={setFile} />
        {failure !== null && <ProblemNote error={failure} />}
        {share === null ? (
          <p className="buttons">
            <button type="submit" className="button">
              Upload and look at it
            </button>
          </p>
        ) : (
          <div className="progress-line" role="status">
            <progress value={share} max={1} aria-label="Upload" />
            <span>
              {share < 1 ? `Uploading: ${percent(share)} of ${bytes(file?.size ?? 0)}` : 'Looking at its layout …'}
            </span>
            <button type="button" className="link-button" onClick={() => upload.current?.abort()}>
              Stop
            </button>
          </div>
        )}
      </form>
    </main>
  )
}

function DropZone({ file, error, onFile }: { file: File | null; error?: string; onFile: (file: File) => void }) {
  const [over, setOver] = useState(false)
  return (
    <div className={`field${error ? ' field-wrong' : ''}`}>
      <span className="field-label" id="file-label">
        File
      </span>
      <label
        className={`drop-zone${over ? ' drop-over' : ''}`}
        onDragOver={(event) => {
          event.preventDefault()
          setOver(true)
        }}
        onDragLeave={() => setOver(false)}
        onDrop={(event) => {
          event.preventDefault()
          setOver(false)
          const dropped = event.dataTransfer.files[0]
          if (dropped) onFile(dropped)
        }}
      >
        <input
          type="file"
          aria-labelledby="file-label"
          accept=".csv,.txt,.tsv,.log,.dat,text/*"
          aria-invalid={error ? true : undefined}
          onChange={(event) => {
            const chosen = event.target.files?.[0]
            if (chosen) onFile(chosen)
          }}
        />
        <span>{file ? `${file.name}, ${bytes(file.size)}` : 'Drop the file here, or choose it'}</span>
      </label>
      {error && (
        <span className="field-error" role="alert">
          {error}
        </span>
      )}
    </div>
  )
}
