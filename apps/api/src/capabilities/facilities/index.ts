export { registerFacilities } from './routes.ts'
export { type Shown, show } from './show.ts'
