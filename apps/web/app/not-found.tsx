import type { Metadata } from 'next'

export const metadata: Metadata = { title: 'Not here' }

export default function NotFound() {
  return (
    <main className="page" id="main">
      <h1>There is nothing here</h1>
      <p className="lead">
        The address may be mistyped, or what it named never existed. What was retired keeps its page, so it is not that.
      </p>
      <p className="buttons">
        <a className="button" href="/">
          To the morning list
        </a>
        <a className="button quiet" href="/facilities">
          All facilities
        </a>
      </p>
    </main>
  )
}
