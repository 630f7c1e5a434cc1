'use client'
import type { Problem } from '@sightglass/contract'
import { useRouter } from 'next/navigation'
import { ApiError } from '../lib/api.ts'

export const problemFrom = (error: unknown): Problem =>
  error instanceof ApiError
    ? error.problem
    : {
        type: '/problems/web',
        title: 'Something failed in the browser',
        status: 0,
        detail: error instanceof Error ? error.message : String(error),
        requestId: '',
      }

/** What went wrong, where it belongs: title, what to do, and the id that finds it in the server's log. */
export function ProblemNote({ error, children }: { error: unknown; children?: React.ReactNode }) {
  const problem = problemFrom(error)
  return (
    <div className="problem" role="alert">
      <strong>{problem.title}.</strong> {problem.detail}
      {problem.requestId && problem.status >= 500 && <span className="faint"> Request {problem.requestId}.</span>}
      {children}
    </div>
  )
}

/** A page whose first data could not be had. */
export function ProblemPage({ problem }: { problem: Problem }) {
  const router = useRouter()
  return (
    <main className="page" id="main">
      <h1>{problem.title}</h1>
      <p className="lead">{problem.detail}</p>
      {problem.requestId && <p className="faint">Request {problem.requestId}</p>}
      <p className="buttons">
        <button type="button" className="button" onClick={() => router.refresh()}>
          Try again
        </button>
        <a className="button quiet" href="/">
          To the morning list
        </a>
      </p>
    </main>
  )
}
