/* Names as they may come, in many scripts. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_TESTS_LABEL_WORDS_H
#define ELLWAND_TESTS_LABEL_WORDS_H

/* Words for rooms, windows and tracks, and for scripts without one at hand the first letters of their alphabet. */
static const char *const words[] = {"Küche, façade, ångström, Œuvre",
                                    "Łazienka, źródło, żółć",
                                    "phòng khách, cửa sổ, rèm",
                                    "İçkapı, ışık, ğ, ş",
                                    "Tīkla ķēķis, ņ, ū",
                                    "hæð, þil, Øst, ß ẞ",
                                    "κουζίνα, παράθυρο",
                                    "кухня, окно, ґанок, ђ",
                                    "խոհանոց",
                                    "სამზარეულო",
                                    "מטבח, חלון",
                                    "مطبخ، نافذة",
                                    "آشپزخانه، پنجره، گچ",
                                    "باورچی خانہ، کھڑکی",
                                    "रसोई, खिड़की",
                                    "রান্নাঘর, জানালা",
                                    "ਰਸੋਈ, ਖਿੜਕੀ",
                                    "રસોડું, બારી",
                                    "ରୋଷେଇ ଘର",
                                    "சமையலறை, சாளரம்",
                                    "వంటగది, కిటికీ",
                                    "ಅಡುಗೆಮನೆ, ಕಿಟಕಿ",
                                    "അടുക്കള, ജാലകം",
                                    "කුස්සිය, ජනේලය",
                                    "ห้องครัว, หน้าต่าง",
                                    "ຫ້ອງຄົວ",
                                    "ផ្ទះបាយ, បង្អួច",
                                    "မီးဖိုချောင်",
                                    "ማእድ ቤት, መስኮት",
                                    "ཐབ་ཚང་",
                                    "ᠭᠠᠯ",
                                    "ܒܝܬܐ",
                                    "ބަދިގެ",
                                    "ⵜⴰⵏⵡⴰⵍⵜ",
                                    "ᏗᏓᏍᏔᏴᏗ",
                                    "厨房，窗户，轨道",
                                    "廚房，窗戶，軌道",
                                    "台所、窓、カーテンレール",
                                    "부엌, 창문, 커튼레일",
                                    "№ ½ ° × ± € £ ¥ § µ Ω — – … “ ”"};
enum { WORDS = sizeof words / sizeof words[0] };

#endif
