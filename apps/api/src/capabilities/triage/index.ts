export { registerTriage } from './routes.ts'
