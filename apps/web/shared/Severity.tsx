import { SEVERITY_WORDS, type Severity } from '@sightglass/chemistry'

// One shape for each severity, so that none rests on its colour: barred square, wedge, broken ring, half disc, wave, two bars.
const SHAPES: Record<Severity, React.ReactNode> = {
  close: (
    <>
      <rect x="1" y="1" width="14" height="14" fill="currentColor" />
      <path d="M4.5 4.5 11.5 11.5M11.5 4.5 4.5 11.5" stroke="var(--paper)" strokeWidth="2.2" />
    </>
  ),
  act: <path d="M8 1 15 15H1Z" fill="currentColor" />,
  unheard: <circle cx="8" cy="8" r="6" fill="none" stroke="currentColor" strokeWidth="2" strokeDasharray="3.6 2.7" />,
  watch: (
    <>
      <circle cx="8" cy="8" r="6" fill="none" stroke="currentColor" strokeWidth="1.8" />
      <path d="M8 2a6 6 0 0 0 0 12Z" fill="currentColor" />
    </>
  ),
  fine: <path d="M1 9c2.5-4 4.5-4 7 0s4.5 4 7 0" fill="none" stroke="currentColor" strokeWidth="1.8" />,
  outOfUse: <path d="M5 2v12M11 2v12" stroke="currentColor" strokeWidth="2.6" />,
}

export function SeverityMark({ severity, size = 16 }: { severity: Severity; size?: number }) {
  return (
    <svg className={`mark mark-${severity}`} width={size} height={size} viewBox="0 0 16 16" aria-hidden="true">
      {SHAPES[severity]}
    </svg>
  )
}

export function SeverityLabel({ severity }: { severity: Severity }) {
  return (
    <span className={`severity severity-${severity}`}>
      <SeverityMark severity={severity} />
      <span>{SEVERITY_WORDS[severity]}</span>
    </span>
  )
}
