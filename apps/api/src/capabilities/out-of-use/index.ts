export { registerOutOfUse } from './routes.ts'
