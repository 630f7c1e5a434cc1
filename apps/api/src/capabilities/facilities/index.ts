export { lockBodies, lockBody } from './locks.ts'
export { registerFacilities } from './routes.ts'
