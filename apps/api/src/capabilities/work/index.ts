export { registerWork } from './routes.ts'
