export { registerOwnProfiles } from './routes.ts'
