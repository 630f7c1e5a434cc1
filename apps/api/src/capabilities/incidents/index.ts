export { registerIncidents } from './routes.ts'
