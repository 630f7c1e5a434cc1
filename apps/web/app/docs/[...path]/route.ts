import { forward } from '../../../lib/forward.ts'

// The API's reader at /api/docs names its own scripts by /docs/….
export const dynamic = 'force-dynamic'
export { forward as GET }
