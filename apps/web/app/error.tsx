'use client'

export default function ErrorPage({ error, retry }: { error: unknown; retry: () => void }) {
  const digest = error instanceof Error && 'digest' in error ? String(error.digest) : ''
  return (
    <main className="page" id="main">
      <h1>This page failed</h1>
      <p className="lead">
        Nothing that you stored is lost, and what you were typing is kept in this browser. Try again; if it fails again,
        the log of the web server says why.
      </p>
      {digest && <p className="faint">Mark in the log: {digest}</p>}
      <p className="buttons">
        <button type="button" className="button" onClick={() => retry()}>
          Try again
        </button>
        <a className="button quiet" href="/">
          To the morning list
        </a>
      </p>
    </main>
  )
}
