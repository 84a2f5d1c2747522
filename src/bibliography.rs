//! What the numbers rest on: the one list of sources.
//!
//! None of these standards and papers was read whole. Each entry says how it was read: *excerpt* or *abstract* for a part
//! of it, *second-hand* for another text that quotes it, *from memory* for nothing that was seen. Where the text that was
//! read is not known any more, the entry says *source not recorded*.

/// ISO 8596, visual acuity testing: standard and clinical optotypes and their presentation (1994, 2009, 2017).
pub struct Iso8596 {
    /// Five optotypes for each acuity grade.
    pub five_a_grade: &'static str,
    /// The Landolt ring: outer diameter five times its gap and stroke.
    pub ring: &'static str,
    /// Grades by the R10 series of ISO 3.
    pub grades: &'static str,
}

/// See [`Iso8596`].
pub const ISO_8596: Iso8596 = Iso8596 {
    five_a_grade: "ISO 8596:2017, five optotypes a grade (from memory)",
    ring: "ISO 8596, Landolt ring (two excerpts agree)",
    grades: "ISO 8596 with ISO 3, R10 (excerpts; the printed table was not seen)",
};

/// ISO 10938:2016, chart displays for visual acuity measurement: printed, projected and electronic.
pub struct Iso10938 {
    /// Size by the critical detail, within 5 %.
    pub clause_4_1_1: &'static str,
    /// Background luminance.
    pub clause_4_1_2: &'static str,
    /// Letters of at most 15 % of the background's luminance.
    pub clause_4_1_3: &'static str,
    /// Edges, and smoothing that must not change the perceived size.
    pub clause_4_1_4: &'static str,
    /// Resolution.
    pub clause_4_1_5: &'static str,
}

/// See [`Iso10938`].
pub const ISO_10938: Iso10938 = Iso10938 {
    clause_4_1_1: "ISO 10938:2016, 4.1.1 (borrowed; excerpt)",
    clause_4_1_2: "ISO 10938:2016, 4.1.2 (heading seen, number from memory)",
    clause_4_1_3: "ISO 10938:2016, 4.1.3 (borrowed; excerpt)",
    clause_4_1_4: "ISO 10938:2016, 4.1.4 (borrowed; excerpt)",
    clause_4_1_5: "ISO 10938:2016, 4.1.5 (excerpt, incomplete)",
};

/// ANSI Z80.21, general-purpose clinical visual acuity charts.
pub struct Z8021 {
    /// A gap of at least one optotype width.
    pub spacing: &'static str,
}

/// See [`Z8021`].
pub const Z80_21: Z8021 = Z8021 { spacing: "ANSI Z80.21-2010, spacing (borrowed; second-hand)" };

/// Bailey & Lovie 1976, Am J Optom Physiol Opt 53:740: gaps between letters and rows in proportion to their size.
pub const BAILEY_LOVIE_1976: &str = "Bailey & Lovie 1976, layout (excerpt)";

/// IEC 61966-2-1, the sRGB colour space: its tone curve and its luminance weights (as colour-science 0.4.7 has them).
pub const IEC_61966_2_1: &str = "IEC 61966-2-1 (through a colour library)";

/// Fritsch & Butland 1984, SIAM J Sci Stat Comput 5:300: local monotone piecewise cubics (as `PchipInterpolator` of scipy
/// 1.17.1 has them).
pub const FRITSCH_BUTLAND_1984: &str = "Fritsch & Butland 1984 (through a numerical library)";

/// The PNG specification, third edition: pHYs counts whole pixels a metre.
pub const PNG_SPECIFICATION: &str = "PNG specification, pHYs";

/// The luminous efficiency function of CIE 2008 (2°), which gives typical red primaries 11 to 12 % more luminance
/// than V(λ) of 1924 does (own arithmetic on the tables of colour-science 0.4.7).
pub const CIE_2008: &str = "CIE 1924 against CIE 2008 luminous efficiency (own arithmetic)";

/// CIE 1924, the photopic luminous efficiency V(λ), by which photometers measure (the table of colour-science 0.4.7).
pub const CIE_1924: &str = "CIE 1924 V(λ) (through a colour library)";

/// Stockman & Sharpe 2000, the 2° cone fundamentals (the table of colour-science 0.4.7).
pub const STOCKMAN_SHARPE_2000: &str = "Stockman & Sharpe 2000 (through a colour library)";

/// Thibos, Ye, Zhang & Bradley 1992, Appl Opt 31:3594: the chromatic eye, Rx(λ) = 1.68524 − 633.46/(λ − 214.102) D
/// (coefficients by a comment in public code and from memory; the open vision-science toolbox `ISETCam`, in
/// `human/humanWaveDefocus.m`, has the same formula for another reference wavelength, with 1.7312 for 1.68524).
pub const THIBOS_1992: &str = "Thibos et al. 1992 (coefficients second-hand)";

/// Atchison & Smith 2005, J Opt Soc Am A 22:29: chromatic dispersions of the ocular media (abstract seen, coefficients
/// from memory; they agree with the textbook pair).
pub const ATCHISON_SMITH_2005: &str = "Atchison & Smith 2005 (coefficients from memory)";

/// Hopkins 1955, Proc R Soc Lond A 231:91: the transfer function of a circular pupil out of focus (existence and
/// series known second-hand; the integral here is written from the definition).
pub const HOPKINS_1955: &str = "Hopkins 1955 (second-hand)";

/// Watson & Yellott 2012, J Vis 12(10):12: a unified formula for the light-adapted pupil, on Stanley & Davies 1995
/// (four public implementations agree; one of them has equation 27 of the paper's appendix 2, which is the same formula
/// multiplied out; which implementations they were is not recorded).
pub const WATSON_YELLOTT_2012: &str = "Watson & Yellott 2012 (through public implementations)";

/// Thibos, Hong, Bradley & Cheng 2002, J Opt Soc Am A 19:2329: of the aberrations of 200 eyes only the spherical one
/// differs from nought on average (excerpt); 0.15 µm at 6 mm was used in a simulation paper of 2023 (excerpt; its title
/// is not recorded).
pub const THIBOS_2002: &str = "Thibos et al. 2002 (excerpt)";

/// Stiles & Crawford: light counts less the farther from the middle of the pupil it passes, by a factor of 10^(−0.05
/// r²), r in millimetres (from memory; a table in J Eur Opt Soc 2023 has the same as e^(−0.115 r²)). Westheimer 2013
/// warns against it in coherent diffraction; Vohnsen 2011 finds it valid for incoherent light (excerpts).
pub const STILES_CRAWFORD: &str = "Stiles-Crawford, 0.05/mm² (two sources)";

/// Akutsu, Bedell & Patel 2000 (journal not recorded): letters in blur are read from the frequencies before the first
/// zero of the transfer function (excerpt).
pub const AKUTSU_2000: &str = "Akutsu, Bedell & Patel 2000 (excerpt)";

/// The band of frequencies that letters are read from: Parish & Sperling 1991, Vision Res 31:1399, best at 1.5 cycles a
/// letter, bands of two octaves (abstract); Solomon & Pelli 1994, Nature 369:395, about 3 cycles a letter (from memory).
pub const LETTER_BAND: &str = "Parish & Sperling 1991 (abstract); Solomon & Pelli 1994 (from memory)";

/// Barten 1999, Contrast Sensitivity of the Human Eye and Its Effects on Image Quality (SPIE), and 2003, Proc SPIE 5294:231: the
/// formula with its typical constants, as the library colour-science 0.4.7 has it (the book was not seen).
pub const BARTEN_1999: &str = "Barten 1999 (through colour-science)";

/// Smith 1991, Optom Vis Sci 68: the smallest angle read in blur grows with error times pupil (excerpt), by 0.65
/// minutes of arc a millimetre and dioptre (from memory).
pub const SMITH_1991: &str = "Smith 1991 (slope from memory)";

/// Atchison, Charman & Woods 1997, Optom Vis Sci 74:511: depth of focus against pupil (excerpt).
pub const ATCHISON_1997: &str = "Atchison, Charman & Woods 1997 (excerpt)";

/// Atchison et al. 2005, Vision Res 45:1967 (excerpt; author names from memory): just noticeable defocus of letters at
/// 0.0 logMAR is ±0.33, 0.30 and 0.28 D behind 3, 4 and 6 mm. It hardly falls as the pupil widens.
pub const ATCHISON_2005: &str = "Atchison et al. 2005 (excerpt)";

/// Optom Vis Sci 1989 66:545 (excerpt; by Jacobs, Smith & Chan, authors from memory): where there is blur already, a
/// change of 0.05 to 0.07 D is noticed, whatever the blur to begin with.
pub const BLUR_STEP_1989: &str = "Optom Vis Sci 1989 66:545 (excerpt)";

/// Rosenfield 1995, J Am Optom Assoc 66:87 (excerpt): the mean end of a red-green test in eight young eyes was the same
/// behind 1, 3, 5 and 7 mm, and varied less behind wide pupils.
pub const ROSENFIELD_1995: &str = "Rosenfield 1995 (excerpt)";

/// Wang, Candy, Teel & Jacobs 2008, J Opt Soc Am A 25:2263 (excerpt).
pub const WANG_2008: &str = "Wang et al. 2008 (excerpt)";

/// Eye and Vision 2023, s40662-023-00367-w (excerpt; authors and title not recorded).
pub const REVIEW_2023: &str = "Eye and Vision 2023 (excerpt)";

/// Jaskulski et al. 2016, Ophthalmic Physiol Opt 36(6), doi 10.1111/opo.12320 (excerpt): red lags white by 0.49 ± 0.10 D and
/// green leads it by 0.07 ± 0.02 D, so white lies 0.375 of the interval to green of the middle; depth of focus in white is 19 %
/// more than in one colour.
pub const JASKULSKI_2016: &str = "Jaskulski et al. 2016 (excerpt)";

/// Ogle & Schwartz 1959, J Opt Soc Am 49:273 (excerpt).
pub const OGLE_1959: &str = "Ogle & Schwartz 1959 (excerpt)";

/// Campbell 1959, a thesis (excerpt; its title is not recorded).
pub const CAMPBELL_1959: &str = "Campbell 1959 (excerpt)";

/// J Cataract Refract Surg 2012, PMC3511607 (abstract; authors not recorded): adaptive optics, thirteen subjects, pupils of 2
/// and 5 mm.
pub const SMALL_PUPIL_2012: &str = "PMC3511607 (abstract)";

/// Tabernero, Schwarz, Fernández & Artal 2011, Invest Ophthalmol Vis Sci 52:5273 (abstract).
pub const TABERNERO_2011: &str = "Tabernero et al. 2011 (abstract)";

/// Xu, Thibos & Bradley 2016, Optom Vis Sci 93:1409 (abstract).
pub const XU_2016: &str = "Xu, Thibos & Bradley 2016 (abstract)";

/// Young eyes take up about four fifths of what is asked of their accommodation (from memory, no one source).
pub const ACCOMMODATION_SLOPE: &str = "accommodative response slope (from memory)";

/// ICC.1, the profile format: colorants adapted to D50, tone curves, luminance (as the crate moxcms reads it and littlecms
/// 2.19 writes it).
pub const ICC_1: &str = "ICC.1 (through a colour-management library)";

/// VESA E-EDID, releases 1.3 and 1.4 (from memory, held against the decoder edid-decode on 400 real blocks of the open
/// collection linuxhw/EDID).
pub const VESA_E_EDID: &str = "VESA E-EDID (from memory, against an independent decoder)";

/// Slides of an optometry course on the balance between both eyes (read on the web; their author is not shown): fog of +1.00 D, three
/// prism dioptres up and as many down, +0.25 D to the clearer eye until both are alike; equal acuities only. Other teachers fog by
/// less.
pub const BINOCULAR_SLIDES: &str = "slides of a course on binocular balance (read; author not recorded)";

/// Millodot, Dictionary of Optometry and Visual Science, 2009: the near addition is the vergence of the working distance less a share of
/// the amplitude; the spherical equivalent (excerpts on the web).
pub const MILLODOT_2009: &str = "Millodot 2009 (excerpts)";

/// National Federation of Opticianry Schools, open course OPT 11, module 8: transposition, with practice answers (read).
pub const NFOS_OPT_11: &str = "NFOS OPT 11, module 8 (read)";

/// Contact Lens Society of America, `EyeWitness`, spring 2011, page 27: a worked example of vertex distance (excerpt).
pub const CLSA_2011: &str = "CLSA 2011 (excerpt)";

/// HL7 FHIR, release 4 (4.0.1): Bundle, Observation, `VisionPrescription` (their definitions were read in part); SNOMED CT codes as HL7's
/// guides of eye care use them, LOINC codes as the page of panel 62706-7 has them.
pub const FHIR_R4: &str = "HL7 FHIR R4 (read in part)";

/// ISO 19005-3 (PDF/A-3), associated files, as the rules of an open validator have it (the standard was not seen).
pub const ISO_19005_3: &str = "ISO 19005-3 (through an open validator’s rules)";

/// What the trade does, without a source that could be named. Two examples: N = 8 M for the sizes of near letters, and
/// 30 minutes of warm-up before a screen is metered.
pub const COMMON_PRACTICE: &str = "common practice, no source";

/// A decision of this project, with its reason beside it.
pub const DESIGN: &str = "this project’s own decision";

/// Yanoff & Duker, Ophthalmology, 2009, page 67, as an encyclopedia on the web quotes it: the red-green test is of no
/// use where acuity is poorer than 20/30.
pub const YANOFF_DUKER_2009: &str = "Yanoff & Duker 2009, p 67 (second-hand)";

/// Körner, Klin Monbl Augenheilkd 1990 197:68-71: contrast thresholds for red and green differ in protanopes and behind
/// brown cataracts.
pub const KORNER_1990: &str = "Körner 1990 (excerpt)";

/// What simulated patients made of each procedure, [in this project](crate::balance).
pub const TRIAL: &str = "this project’s simulated patients: evenfield balance --trial";

/// Rosenfield & Chiu 1995, Optom Vis Sci 72:577: a repeated subjective refraction strays by a standard deviation of 0.15 D
/// of spherical equivalent, 95 % within ±0.29 D (excerpt; volume and page from memory).
pub const ROSENFIELD_CHIU_1995: &str = "Rosenfield & Chiu 1995 (excerpt)";

/// Rosser et al. 2004: 95 % of repeated acuities within ±0.11 logMAR (second-hand, through a later paper).
pub const ROSSER_2004: &str = "Rosser et al. 2004 (second-hand)";

/// Stark & Class 2013, Invest Ophthalmol Vis Sci 54:578: 95 % of repeated acuities within ±0.053 to ±0.075 logMAR
/// (excerpt).
pub const STARK_CLASS_2013: &str = "Stark & Class 2013 (excerpt)";
