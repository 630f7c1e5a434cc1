'use client'

// Stands in for the whole document when even the layout failed, so it brings its own few styles.
export default function GlobalError({ retry }: { error: unknown; retry: () => void }) {
  return (
    <html lang="en">
      <body style={{ fontFamily: 'sans-serif', margin: '3rem auto', maxWidth: '36rem', padding: '0 1rem' }}>
        <h1>Sightglass cannot draw this page</h1>
        <p>Nothing that you stored is lost. Try again; if it fails again, the log of the web server says why.</p>
        <button type="button" onClick={() => retry()}>
          Try again
        </button>
      </body>
    </html>
  )
}
