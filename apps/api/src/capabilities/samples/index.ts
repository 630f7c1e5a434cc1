export { unlikelySampleTime } from './clock.ts'
export { ingestSamples } from './ingest.ts'
export { registerSamples } from './routes.ts'
export type { Ingested, SampleStretch } from './stretch.ts'
