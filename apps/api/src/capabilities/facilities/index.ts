export { registerFacilities } from './routes.ts'
