import type { AnalyteId } from '../composition/analytes.js'
import { meanings, plainWords } from './words.js'

/** What a laboratory may call each analysis beside our own short name, in English and Swahili; the console's names are among them. */
const NAMES: Readonly<Record<AnalyteId, readonly string[]>> = {
  moisture: ['water', 'unyevu'],
  CP: ['protein', 'crude protein', 'protini'],
  EE: ['fat', 'crude fat', 'ether extract', 'oil', 'mafuta'],
  CF: ['fibre', 'crude fibre', 'fiber', 'crude fiber', 'nyuzinyuzi'],
  ash: ['crude ash', 'majivu'],
  AIA: ['sand', 'acid insoluble ash', 'mchanga'],
  starch: ['wanga'],
  sugars: ['sugar', 'sukari'],
  Ca: ['calcium', 'kalsiamu'],
  totP: ['P', 'phosphorus', 'total phosphorus', 'fosforasi'],
  Na: ['sodium', 'sodiamu'],
  Cl: ['chloride', 'kloridi'],
  K: ['potassium', 'potasiamu'],
  Lys: ['lysine', 'laisini'],
  Met: ['methionine', 'methionini'],
  Thr: ['threonine', 'threonini'],
  Trp: ['tryptophan', 'triptofani'],
  aflatoxin_B1: ['aflatoxin B1', 'sumukuvu (aflatoxin B1)', 'sumukuvu B1'],
  aflatoxin_total: ['aflatoxin', 'aflatoxins', 'total aflatoxin', 'sumukuvu (aflatoxin)', 'sumukuvu'],
  urea: [],
}
const BY_NAME = meanings(NAMES)

export const analyteOf = (words: string): AnalyteId | undefined => BY_NAME.get(plainWords(words))
