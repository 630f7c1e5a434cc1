/** A table that may be wider than the screen; the keyboard can scroll it. */
export function WideTable({ label, children }: { label: string; children: React.ReactNode }) {
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls must be reachable by the keyboard (WCAG 2.1.1)
    <section className="table-scroll" tabIndex={0} aria-label={`${label}, scrolls sideways`}>
      {children}
    </section>
  )
}
