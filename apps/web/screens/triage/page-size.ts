/** Rows that the server gives at a time. */
export const PAGE_SIZE = 50
