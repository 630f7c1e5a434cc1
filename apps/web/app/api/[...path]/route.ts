import { forward } from '../../../lib/forward.ts'

export const dynamic = 'force-dynamic'
export { forward as DELETE, forward as GET, forward as PATCH, forward as POST, forward as PUT }
