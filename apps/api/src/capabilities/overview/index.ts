export { registerOverview } from './routes.ts'
