export { lastReadings } from './list.ts'
export { registerReadings } from './routes.ts'
