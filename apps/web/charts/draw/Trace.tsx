import type { TraceModel } from '../prepare/trace.ts'

export function Trace({ model }: { model: TraceModel }) {
  const { width, height, ph, orp, words } = model
  return (
    <svg className="trace" width={width} height={height} viewBox={`-1 -1 ${width + 2} ${height + 2}`} role="img">
      <title>{words}</title>
      {[ph, orp].map((lane, index) => (
        <g key={index === 0 ? 'ph' : 'orp'} className={index === 0 ? 'trace-ph' : 'trace-orp'}>
          {lane.band && <rect className="trace-band" x="0" y={lane.band.y} width={width} height={lane.band.height} />}
          <path d={lane.path} fill="none" strokeWidth="1.25" strokeLinecap="round" strokeLinejoin="round" />
        </g>
      ))}
    </svg>
  )
}
