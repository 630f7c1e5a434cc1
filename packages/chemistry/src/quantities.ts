/**
 * The single list of unit conversions. Stored units are mg/L, °C, mV, L, g, L/min; only screens and import layouts convert.
 * Nothing here rounds. Exact factors by definition: international yard and pound agreement of 1959, US gallon = 231 in³.
 */

export const LITRES_PER_GALLON = 3.785411784
export const LITRES_PER_FLUID_OUNCE = LITRES_PER_GALLON / 128
export const GRAMS_PER_POUND = 453.59237
export const GRAMS_PER_OUNCE = GRAMS_PER_POUND / 16
export const SQUARE_METRES_PER_SQUARE_FOOT = 0.09290304
const METRES_PER_FOOT = 0.3048

/** 0 °C in kelvin, exact by definition. */
export const ZERO_CELSIUS_K = 273.15

export const celsiusToFahrenheit = (tempC: number) => tempC * 1.8 + 32
export const fahrenheitToCelsius = (tempF: number) => (tempF - 32) / 1.8
export const celsiusToKelvin = (tempC: number) => tempC + ZERO_CELSIUS_K

export const gallonsToLitres = (gallons: number) => gallons * LITRES_PER_GALLON
export const litresToGallons = (litres: number) => litres / LITRES_PER_GALLON
export const fluidOuncesToLitres = (ounces: number) => ounces * LITRES_PER_FLUID_OUNCE
export const litresToFluidOunces = (litres: number) => litres / LITRES_PER_FLUID_OUNCE
export const cubicMetresToLitres = (cubicMetres: number) => cubicMetres * 1000
export const litresToCubicMetres = (litres: number) => litres / 1000

export const gallonsPerMinuteToLitresPerMinute = (gpm: number) => gpm * LITRES_PER_GALLON
export const litresPerMinuteToGallonsPerMinute = (lMin: number) => lMin / LITRES_PER_GALLON
export const cubicMetresPerHourToLitresPerMinute = (m3h: number) => (m3h * 1000) / 60
export const litresPerMinuteToCubicMetresPerHour = (lMin: number) => (lMin * 60) / 1000
export const litresPerSecondToLitresPerMinute = (lS: number) => lS * 60

export const poundsToGrams = (pounds: number) => pounds * GRAMS_PER_POUND
export const gramsToPounds = (grams: number) => grams / GRAMS_PER_POUND
export const ouncesToGrams = (ounces: number) => ounces * GRAMS_PER_OUNCE
export const gramsToOunces = (grams: number) => grams / GRAMS_PER_OUNCE

export const squareFeetToSquareMetres = (squareFeet: number) => squareFeet * SQUARE_METRES_PER_SQUARE_FOOT
export const squareMetresToSquareFeet = (squareMetres: number) => squareMetres / SQUARE_METRES_PER_SQUARE_FOOT
export const feetToMetres = (feet: number) => feet * METRES_PER_FOOT
export const metresToFeet = (metres: number) => metres / METRES_PER_FOOT
