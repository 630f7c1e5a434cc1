import Link from 'next/link'

export const Lines = ({ lines }: { lines: readonly string[] }) =>
  lines.length > 0 && (
    <ul className="advice">
      {lines.map((line) => (
        <li key={line}>{line}</li>
      ))}
    </ul>
  )

/** What is not known, and the way to it. */
export function Missing({ lines, way }: { lines: readonly string[]; way: { href: string; words: string } | null }) {
  if (lines.length === 0) return null
  return (
    <div className="panel-missing">
      <Lines lines={lines} />
      {way && (
        <Link className="button quiet" href={way.href}>
          {way.words}
        </Link>
      )}
    </div>
  )
}
