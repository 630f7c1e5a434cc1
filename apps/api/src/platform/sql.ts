/** camelCase of the code to snake_case of the tables: `freeChlorineMgL` is `free_chlorine_mg_l`. */
export const columnOf = (key: string) => key.replace(/[A-Z]/g, (letter) => `_${letter.toLowerCase()}`)
