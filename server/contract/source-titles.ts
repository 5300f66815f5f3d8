type Title = string | { readonly en: string; readonly sw: string }

const cfr558 = (section: string, what: string): string => `US 21 CFR 558.${section}, ${what}`
const euActive = (act: string, active: string): string => `Regulation ${act}, ${active}`

/**
 * What the source keys of the published tables stand for, short enough for a card; from seed/reference/standards.README.md, section
 * "Sources". Whether the text was read or is remembered stands with each row of the tables and is not repeated here.
 */
const TITLES: Readonly<Record<string, Title>> = {
  REC: { en: "recommended default of these tables' author", sw: 'pendekezo la mwandishi wa majedwali haya' },
  TEXTBOOK: {
    en: 'textbooks and extension sheets on poultry nutrition and feed making',
    sw: 'vitabu na vijarida vya lishe ya kuku na utengenezaji wa chakula',
  },
  ARITH: { en: 'arithmetic or atomic weights', sw: 'hesabu au uzito wa atomi' },
  EAS90_UNREAD: {
    en: 'East African standard for poultry feed, not read: a placeholder',
    sw: 'kiwango cha Afrika Mashariki cha chakula cha kuku, hakijasomwa: nafasi tu',
  },
  NRC1994: 'National Research Council, Nutrient Requirements of Poultry, 9th ed., 1994',
  NRC1994_BROWN: 'National Research Council, Nutrient Requirements of Poultry, 9th ed., 1994, brown-egg strains',
  NRC1994_MVM_BROILER: 'Nutrient Requirements of Poultry, 1994, broilers, as in the Merck Veterinary Manual',
  NRC1994_MVM_TURKEY: 'Nutrient Requirements of Poultry, 1994, turkeys, as in the Merck Veterinary Manual',
  NRC1994_DUCK_TEXT: 'Nutrient Requirements of Poultry, 1994, text on ducks, as quoted in 2016',
  NRC1984: 'National Research Council, Nutrient Requirements of Poultry, 8th ed., 1984',
  NRC2005: 'National Research Council, Mineral Tolerance of Animals, 2005',
  IS1374: 'Bureau of Indian Standards, IS 1374:2007 Poultry feeds',
  IS1374_T3: 'Bureau of Indian Standards, IS 1374:2007 Poultry feeds, Table 3',
  GOST18221: 'GOST 18221-99 / GOST R 51851-2001, complete poultry feed',
  ROSTAGNO2011: 'Brazilian tables for poultry, 3rd ed., 2011',
  ALLEN1980: 'Allen and Young, Poultry Science, 1980, laying Japanese quail',
  LIMA_QUAIL: 'Lima et al., digestible lysine for growing Japanese quail',
  SHIM_QUAIL: 'Shim and Vohra, review on quail, 1984',
  ALTINE2016: 'Altine et al., World Scientific News 49(2), 2016, quails in the tropics',
  TURKEY_DLYS2003: 'Int. J. Poultry Science 2003, 97-101, digestible lysine of male turkeys',
  SCHUTTE1998: 'Poultry Science 77:697-701, 1998, lysine of the laying hen',
  KALRO_KIBU: 'Wekesa, KALRO, alternative feedstuffs for chickens in Kenya',
  EU2002_32: 'Directive 2002/32/EC on undesirable substances, Annex I',
  EU2009_8: 'Commission Directive 2009/8/EC, carry-over of coccidiostats',
  EU152_2009: 'Regulation (EC) 152/2009, sampling and analysis',
  EU767_2009: 'Regulation (EC) 767/2009, marketing and labels of feed',
  EU183_2005: 'Regulation (EC) 183/2005, feed hygiene, Annex II',
  EU178_2002: 'Regulation (EC) 178/2002, Art. 18, tracing',
  EU999_2001: 'Regulation (EC) 999/2001, animal proteins',
  EU2006_576: 'Recommendation 2006/576/EC, mould poisons',
  EU2006_576_NEWS: 'Recommendation 2006/576/EC, as told in the farm press',
  EU2013_165: 'Recommendation 2013/165/EU, T-2 and HT-2 toxins',
  EU2015_724: 'Implementing Regulation (EU) 2015/724, vitamin A',
  EU2019_849: 'Implementing Regulation (EU) 2019/849, vitamin D3',
  EU2019_49: 'Implementing Regulation (EU) 2019/49, selenium',
  EU2018_1039: 'Implementing Regulation (EU) 2018/1039, copper',
  EU2016_1095: 'Implementing Regulation (EU) 2016/1095, zinc',
  EU2017_1490: 'Implementing Regulation (EU) 2017/1490, manganese',
  EU2017_2330: 'Implementing Regulation (EU) 2017/2330, iron',
  EU2015_861: 'Implementing Regulation (EU) 2015/861, iodine',
  EU_CO: 'European Union act on cobalt',
  EU_ROBEN: 'European Union authorisation of robenidine',
  EU_SEMDU: 'European Union authorisation of semduramicin',
  EU_AMPRO: 'European Union status of amprolium',
  EU1356_2004: euActive('(EC) 1356/2004', 'monensin'),
  EU1455_2004: euActive('(EC) 1455/2004', 'lasalocid'),
  EU1464_2004: euActive('(EC) 1464/2004', 'narasin'),
  EU885_2010: euActive('(EU) 885/2010', 'narasin and nicarbazin'),
  EU875_2010: euActive('(EU) 875/2010', 'nicarbazin'),
  EU388_2011: euActive('(EU) 388/2011', 'maduramicin'),
  EU1118_2010: euActive('(EU) 1118/2010', 'diclazuril'),
  EU2017_1914: euActive('(EU) 2017/1914', 'salinomycin'),
  EU1289_2004: euActive('(EC) 1289/2004', 'decoquinate (repealed 2021)'),
  EFSA2018_DICL: 'EFSA Journal 2018;16(3):5195, diclazuril',
  EFSA2022_HALO: 'EFSA opinion 2022, halofuginone',
  CFR558_ALL: 'US 21 CFR part 558, what not to feed to laying hens',
  CFR558_55: cfr558('55', 'amprolium'),
  CFR558_195: cfr558('195', 'decoquinate'),
  CFR558_311: cfr558('311', 'lasalocid'),
  CFR558_340: cfr558('340', 'maduramicin'),
  CFR558_355: cfr558('355', 'monensin'),
  CFR558_364: cfr558('364', 'narasin and nicarbazin'),
  CFR558_366: cfr558('366', 'nicarbazin'),
  CFR558_515: cfr558('515', 'robenidine'),
  CFR558_550: cfr558('550', 'salinomycin'),
  CFR558_680: cfr558('680', 'zoalene'),
  CFR225_30: 'US 21 CFR 225.30, medicated feed',
  CFR225_58: 'US 21 CFR 225.58, medicated feed',
  CFR225_65: 'US 21 CFR 225.65, medicated feed',
  CFR225_102: 'US 21 CFR 225.102, medicated feed',
  CFR573_920: 'US 21 CFR 573.920, selenium',
  FDA_AFLA: 'FDA action levels for aflatoxin, CPG 683.100',
  MO_AFLA: 'Missouri Department of Agriculture, notice on aflatoxin',
  FDA_MYCO_LEAFLET: "FDA levels of mould poisons in a test maker's leaflet",
  FDA_FUM: 'FDA guidance on fumonisins, 2001',
  UKAIC: 'UK trade body on Directive 2002/32/EC, no dilution',
  FAO2003_SRB: 'FAO, worldwide limits of mould poisons, 2003',
  KENYA_AFB1_PAPER: 'Food Security 2019, doi 10.1007/s12571-019-00911-4',
  KEBS_MAIZE: 'Kenyan maize limit, press report',
  TZ_TBS_2025: 'draft Tanzanian standard TBS/AFDC 9 (2942), trade press',
  TZ_GLAFR2010: 'Tanzania Grazing-land and Animal Feed Resources Act, 2010',
}

/** The title behind a source key; a key without one is shown as it stands, so that it is not mistaken for another. */
export const sourceTitle = (key: string, language: 'en' | 'sw'): string => {
  const title = TITLES[key]
  return title === undefined ? key : typeof title === 'string' ? title : title[language]
}

/** Every key with its English title. */
export const sourceTitles = (): ReadonlyMap<string, string> => new Map(Object.keys(TITLES).map((key) => [key, sourceTitle(key, 'en')]))
