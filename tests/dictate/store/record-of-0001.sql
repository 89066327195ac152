BEGIN TRANSACTION;
CREATE TABLE action (
	entry_id INTEGER NOT NULL, 
	animal_id INTEGER NOT NULL, 
	visit_id INTEGER NOT NULL, 
	farm_id INTEGER NOT NULL, 
	date DATE NOT NULL, 
	position INTEGER NOT NULL, 
	id INTEGER NOT NULL, 
	kind VARCHAR NOT NULL, 
	foot VARCHAR, 
	claw VARCHAR, 
	material VARCHAR, 
	PRIMARY KEY (id), 
	FOREIGN KEY(animal_id) REFERENCES animal (id), 
	FOREIGN KEY(entry_id) REFERENCES entry (id), 
	FOREIGN KEY(farm_id) REFERENCES farm (id), 
	FOREIGN KEY(visit_id) REFERENCES visit (id)
);
INSERT INTO "action" VALUES(1,1,1,1,'2026-03-02',0,1,'block','LH','inner','rubber');
CREATE TABLE alembic_version (
	version_num VARCHAR(32) NOT NULL, 
	CONSTRAINT alembic_version_pkc PRIMARY KEY (version_num)
);
INSERT INTO "alembic_version" VALUES('0001');
CREATE TABLE alias (
	id INTEGER NOT NULL, 
	trimmer_id INTEGER NOT NULL, 
	heard VARCHAR NOT NULL, 
	term VARCHAR NOT NULL, 
	taught_at DATETIME NOT NULL, 
	PRIMARY KEY (id), 
	FOREIGN KEY(trimmer_id) REFERENCES trimmer (id), 
	UNIQUE (trimmer_id, heard)
);
INSERT INTO "alias" VALUES(1,1,'soul elsa','sole ulcer','2026-11-27 02:10:36.783152');
CREATE TABLE animal (
	id INTEGER NOT NULL, 
	farm_id INTEGER NOT NULL, 
	number VARCHAR NOT NULL, 
	eid VARCHAR, 
	ear_tag VARCHAR, 
	name VARCHAR, 
	lactation INTEGER, 
	calved_on DATE, 
	dried_off_on DATE, 
	status VARCHAR NOT NULL, 
	on_roster BOOLEAN NOT NULL, 
	merged_into_id INTEGER, 
	PRIMARY KEY (id), 
	FOREIGN KEY(farm_id) REFERENCES farm (id), 
	FOREIGN KEY(merged_into_id) REFERENCES animal (id)
);
INSERT INTO "animal" VALUES(1,1,'412',NULL,NULL,NULL,NULL,NULL,NULL,'present',1,NULL);
INSERT INTO "animal" VALUES(2,1,'415',NULL,NULL,NULL,NULL,NULL,NULL,'present',1,NULL);
INSERT INTO "animal" VALUES(3,1,'9',NULL,NULL,NULL,NULL,NULL,NULL,'present',1,NULL);
INSERT INTO "animal" VALUES(4,1,'20',NULL,NULL,NULL,NULL,NULL,NULL,'present',1,NULL);
CREATE TABLE clip (
	id INTEGER NOT NULL, 
	sha256 VARCHAR(64) NOT NULL, 
	visit_id INTEGER NOT NULL, 
	file_name VARCHAR NOT NULL, 
	suffix VARCHAR NOT NULL, 
	seconds FLOAT NOT NULL, 
	source_rate INTEGER NOT NULL, 
	channels INTEGER NOT NULL, 
	recorded_at DATETIME, 
	recorded_from VARCHAR NOT NULL, 
	taken_in_at DATETIME NOT NULL, 
	PRIMARY KEY (id), 
	FOREIGN KEY(visit_id) REFERENCES visit (id), 
	UNIQUE (sha256)
);
INSERT INTO "clip" VALUES(1,'00000000',1,'0.wav','.wav',3.0,16000,1,'2026-03-02 08:00:00.000000','','2026-11-27 02:10:31.643932');
INSERT INTO "clip" VALUES(2,'11111111',1,'1.wav','.wav',3.0,16000,1,'2026-03-02 08:00:10.000000','','2026-11-27 02:10:31.683056');
INSERT INTO "clip" VALUES(3,'22222222',1,'2.wav','.wav',3.0,16000,1,'2026-03-02 08:00:20.000000','','2026-11-27 02:10:31.684453');
INSERT INTO "clip" VALUES(4,'33333333',1,'3.wav','.wav',3.0,16000,1,'2026-03-02 08:00:30.000000','','2026-11-27 02:10:31.684854');
INSERT INTO "clip" VALUES(5,'44444444',1,'4.wav','.wav',3.0,16000,1,'2026-03-02 08:00:40.000000','','2026-11-27 02:10:31.685186');
INSERT INTO "clip" VALUES(6,'55555555',1,'5.wav','.wav',3.0,16000,1,'2026-03-02 08:00:50.000000','','2026-11-27 02:10:31.685500');
INSERT INTO "clip" VALUES(7,'66666666',1,'6.wav','.wav',3.0,16000,1,'2026-03-02 08:00:59.000000','','2026-11-27 02:10:31.746009');
INSERT INTO "clip" VALUES(8,'77777777',1,'7.wav','.wav',3.0,16000,1,'2026-03-02 08:00:59.000000','','2026-11-27 02:10:31.746906');
CREATE TABLE entry (
	id INTEGER NOT NULL, 
	note_id INTEGER NOT NULL, 
	visit_id INTEGER NOT NULL, 
	position INTEGER NOT NULL, 
	state VARCHAR NOT NULL, 
	version INTEGER NOT NULL, 
	touched BOOLEAN NOT NULL, 
	content JSON NOT NULL, 
	animal_id INTEGER, 
	confirmed_how VARCHAR, 
	confirmed_by VARCHAR, 
	confirmed_at DATETIME, 
	reason VARCHAR, 
	PRIMARY KEY (id), 
	FOREIGN KEY(animal_id) REFERENCES animal (id), 
	FOREIGN KEY(note_id) REFERENCES note (id), 
	FOREIGN KEY(visit_id) REFERENCES visit (id), 
	UNIQUE (note_id, position)
);
INSERT INTO "entry" VALUES(1,1,1,0,'confirmed',2,1,'{"animal": "412", "animal_candidates": ["412"], "findings": [{"foot": "LH", "claw": "outer", "zone": 4, "lesion": "sole ulcer", "stage": null, "severity": null, "heard": "sole ulcer", "object": null, "course": null, "tissue": [], "region": null}], "actions": [{"kind": "block", "foot": "LH", "claw": "inner", "material": "rubber"}], "follow_ups": [{"kind": "look again", "in_days": 14, "date": "2026-03-16", "when": "in two weeks"}], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "corrections": [], "marks": [], "mark_details": []}',1,'one','Robin Field','2026-11-27 02:10:35.715635',NULL);
INSERT INTO "entry" VALUES(2,2,1,0,'waiting',4,1,'{"animal": "412", "animal_candidates": ["412"], "findings": [{"foot": "LH", "claw": "outer", "zone": null, "lesion": "no lesion", "stage": null, "severity": null, "heard": "clean", "object": null, "course": null, "tissue": [], "region": null}], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "corrections": [], "marks": ["animal-carried"], "mark_details": [{"id": "animal-carried", "what": "412 carries over from the note before", "why": "A note that names no animal is taken to be about the one before, which may be wrong; one that says ''same cow'' is marked when the number before was in doubt.", "clear": "Confirm the animal or give another.", "first": -1, "last": -1, "candidates": ["412"]}]}',NULL,NULL,NULL,NULL,NULL);
INSERT INTO "entry" VALUES(3,3,1,0,'waiting',1,0,'{"animal": "412", "animal_candidates": ["412"], "findings": [{"foot": "RF", "claw": null, "zone": null, "lesion": "no lesion", "stage": null, "severity": null, "heard": "clean", "object": null, "course": null, "tissue": [], "region": null}], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "corrections": [], "marks": ["animal-carried"], "mark_details": [{"id": "animal-carried", "what": "412 carries over from the note before, where the number was in doubt", "why": "A note that names no animal is taken to be about the one before, which may be wrong; one that says ''same cow'' is marked when the number before was in doubt.", "clear": "Confirm the animal or give another.", "first": -1, "last": -1, "candidates": ["412"]}]}',NULL,NULL,NULL,NULL,NULL);
INSERT INTO "entry" VALUES(4,4,1,0,'waiting',2,1,'{"animal": "415", "animal_candidates": ["415"], "findings": [{"foot": "LH", "claw": null, "zone": null, "lesion": "sole ulcer", "stage": null, "severity": null, "heard": "sole ulcer", "object": null, "course": null, "tissue": [], "region": null}], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "corrections": [], "marks": [], "mark_details": []}',NULL,NULL,NULL,NULL,NULL);
INSERT INTO "entry" VALUES(5,5,1,0,'waiting',1,0,'{"animal": null, "animal_candidates": [], "findings": [], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "corrections": [], "marks": ["nothing-to-record"], "mark_details": [{"id": "nothing-to-record", "what": "these words hold nothing to record", "why": "a spoken command alone, or a part of a note whose rest was not heard", "clear": "listen; reject it, or type what was said", "first": -1, "last": -1, "candidates": []}]}',NULL,NULL,NULL,NULL,NULL);
INSERT INTO "entry" VALUES(6,6,1,0,'waiting',1,0,'{"animal": "9", "animal_candidates": ["9"], "findings": [{"foot": "LF", "claw": null, "zone": null, "lesion": "no lesion", "stage": null, "severity": null, "heard": "clean", "object": null, "course": null, "tissue": [], "region": null}], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "corrections": [], "marks": [], "mark_details": []}',NULL,NULL,NULL,NULL,NULL);
INSERT INTO "entry" VALUES(7,6,1,1,'waiting',1,0,'{"animal": "20", "animal_candidates": ["20"], "findings": [{"foot": "RH", "claw": null, "zone": null, "lesion": "toe ulcer", "stage": null, "severity": null, "heard": "toe ulcer", "object": null, "course": null, "tissue": [], "region": null}], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": "kicks", "corrections": [], "marks": [], "mark_details": []}',NULL,NULL,NULL,NULL,NULL);
INSERT INTO "entry" VALUES(8,7,1,0,'rejected',2,1,'{"animal": null, "animal_candidates": [], "findings": [], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "corrections": [], "marks": ["nothing-understood"], "mark_details": [{"id": "nothing-understood", "what": "nothing here could be understood", "why": "no animal, finding or action was found in the words", "clear": "listen; type what was said, or reject it", "first": -1, "last": -1, "candidates": []}]}',NULL,NULL,NULL,NULL,'not a note');
INSERT INTO "entry" VALUES(9,8,1,0,'waiting',1,0,'{"animal": "777", "animal_candidates": ["777"], "findings": [], "actions": [], "follow_ups": [], "locomotion": {"score": 3, "scale": null}, "measures": [], "status": [], "denied": [], "remark": null, "corrections": [], "marks": ["locomotion-scale-open", "animal-not-on-roster"], "mark_details": [{"id": "locomotion-scale-open", "what": "score 3: of 1-5 or of 0-3?", "why": "Three on the 1 to 5 scale and three on the 0 to 3 scale are different cows.", "clear": "Choose the scale.", "first": 4, "last": 6, "candidates": ["1-5", "0-3"]}, {"id": "animal-not-on-roster", "what": "777 is not on the roster", "why": "It may be misheard or misread; the list may also be old.", "clear": "Choose an animal from the candidates, or confirm the number as new.", "first": 0, "last": 4, "candidates": ["777"]}]}',NULL,NULL,NULL,NULL,NULL);
CREATE TABLE event (
	id INTEGER NOT NULL, 
	at DATETIME NOT NULL, 
	who VARCHAR NOT NULL, 
	kind VARCHAR NOT NULL, 
	subject VARCHAR NOT NULL, 
	subject_id INTEGER NOT NULL, 
	act VARCHAR NOT NULL, 
	"before" JSON, 
	"after" JSON, 
	undoes_id INTEGER, 
	PRIMARY KEY (id), 
	UNIQUE (undoes_id)
);
INSERT INTO "event" VALUES(1,'2026-11-27 02:10:34.429402','dictate','queued','entry',1,'d00cc95be79f4caf8a7792e3838a7e60',NULL,'{"state": "waiting", "content": {"animal": "412", "animal_candidates": ["412"], "findings": [{"foot": "LH", "claw": "outer", "zone": 4, "lesion": "sole ulcer", "stage": null, "severity": null, "heard": "sole ulcer", "object": null, "course": null, "tissue": [], "region": null}], "actions": [{"kind": "block", "foot": "LH", "claw": "inner", "material": "rubber"}], "follow_ups": [{"kind": "look again", "in_days": 14, "date": "2026-03-16", "when": "in two weeks"}], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "corrections": [], "marks": [], "mark_details": []}, "confirmed_how": null, "confirmed_by": null, "reason": null, "touched": false}',NULL);
INSERT INTO "event" VALUES(2,'2026-11-27 02:10:34.600018','dictate','queued','entry',2,'5482fcdae43c4be4876b30109ca04173',NULL,'{"state": "waiting", "content": {"animal": "412", "animal_candidates": ["412"], "findings": [{"foot": "LH", "claw": null, "zone": null, "lesion": "no lesion", "stage": null, "severity": null, "heard": "clean", "object": null, "course": null, "tissue": [], "region": null}], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "corrections": [], "marks": ["animal-carried"], "mark_details": [{"id": "animal-carried", "what": "412 carries over from the note before", "why": "A note that names no animal is taken to be about the one before, which may be wrong; one that says ''same cow'' is marked when the number before was in doubt.", "clear": "Confirm the animal or give another.", "first": -1, "last": -1, "candidates": ["412"]}]}, "confirmed_how": null, "confirmed_by": null, "reason": null, "touched": false}',NULL);
INSERT INTO "event" VALUES(3,'2026-11-27 02:10:34.723991','dictate','queued','entry',3,'223bf94750534cc5a7c1cd65fe292094',NULL,'{"state": "waiting", "content": {"animal": "412", "animal_candidates": ["412"], "findings": [{"foot": "RF", "claw": null, "zone": null, "lesion": "no lesion", "stage": null, "severity": null, "heard": "clean", "object": null, "course": null, "tissue": [], "region": null}], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "corrections": [], "marks": ["animal-carried"], "mark_details": [{"id": "animal-carried", "what": "412 carries over from the note before, where the number was in doubt", "why": "A note that names no animal is taken to be about the one before, which may be wrong; one that says ''same cow'' is marked when the number before was in doubt.", "clear": "Confirm the animal or give another.", "first": -1, "last": -1, "candidates": ["412"]}]}, "confirmed_how": null, "confirmed_by": null, "reason": null, "touched": false}',NULL);
INSERT INTO "event" VALUES(4,'2026-11-27 02:10:35.044365','dictate','queued','entry',4,'983441b440a249b589289b7e73992f66',NULL,'{"state": "waiting", "content": {"animal": "415", "animal_candidates": ["415"], "findings": [], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "corrections": [], "marks": ["animal-alone", "detail-without-lesion", "leftover-words"], "mark_details": [{"id": "animal-alone", "what": "nothing to record was said of 415", "why": "The number may be a slip of the tongue, or what was found was not heard.", "clear": "Reject the entry, or add what was found.", "first": 0, "last": 3, "candidates": []}, {"id": "detail-without-lesion", "what": "''soul'' was said without a lesion", "why": "The lesion it belongs to was not understood.", "clear": "Give the lesion, or take the detail out.", "first": 3, "last": 4, "candidates": []}, {"id": "leftover-words", "what": "''elsa banana'' was not understood", "why": "A lost word may be a misheard lesion, a lost part of a number, or only chatter.", "clear": "Look at the words and complete what is missing.", "first": 4, "last": 6, "candidates": []}]}, "confirmed_how": null, "confirmed_by": null, "reason": null, "touched": false}',NULL);
INSERT INTO "event" VALUES(5,'2026-11-27 02:10:35.212198','dictate','queued','entry',5,'24112f04b97f4c83aa792c93f1930e38',NULL,'{"state": "waiting", "content": {"animal": null, "animal_candidates": [], "findings": [], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "corrections": [], "marks": ["nothing-to-record"], "mark_details": [{"id": "nothing-to-record", "what": "these words hold nothing to record", "why": "a spoken command alone, or a part of a note whose rest was not heard", "clear": "listen; reject it, or type what was said", "first": -1, "last": -1, "candidates": []}]}, "confirmed_how": null, "confirmed_by": null, "reason": null, "touched": false}',NULL);
INSERT INTO "event" VALUES(6,'2026-11-27 02:10:35.386122','dictate','queued','entry',6,'784b91fa3f7d4ea18fbe44946e24b561',NULL,'{"state": "waiting", "content": {"animal": "9", "animal_candidates": ["9"], "findings": [{"foot": "LF", "claw": null, "zone": null, "lesion": "no lesion", "stage": null, "severity": null, "heard": "clean", "object": null, "course": null, "tissue": [], "region": null}], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "corrections": [], "marks": [], "mark_details": []}, "confirmed_how": null, "confirmed_by": null, "reason": null, "touched": false}',NULL);
INSERT INTO "event" VALUES(7,'2026-11-27 02:10:35.387094','dictate','queued','entry',7,'784b91fa3f7d4ea18fbe44946e24b561',NULL,'{"state": "waiting", "content": {"animal": "20", "animal_candidates": ["20"], "findings": [{"foot": "RH", "claw": null, "zone": null, "lesion": "toe ulcer", "stage": null, "severity": null, "heard": "toe ulcer", "object": null, "course": null, "tissue": [], "region": null}], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": "kicks", "corrections": [], "marks": [], "mark_details": []}, "confirmed_how": null, "confirmed_by": null, "reason": null, "touched": false}',NULL);
INSERT INTO "event" VALUES(8,'2026-11-27 02:10:35.480107','dictate','queued','entry',8,'7135d47314034c57a20ef47b41592e36',NULL,'{"state": "waiting", "content": {"animal": null, "animal_candidates": [], "findings": [], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "corrections": [], "marks": ["nothing-understood"], "mark_details": [{"id": "nothing-understood", "what": "nothing here could be understood", "why": "no animal, finding or action was found in the words", "clear": "listen; type what was said, or reject it", "first": -1, "last": -1, "candidates": []}]}, "confirmed_how": null, "confirmed_by": null, "reason": null, "touched": false}',NULL);
INSERT INTO "event" VALUES(9,'2026-11-27 02:10:35.593616','dictate','queued','entry',9,'363251285298408b9dd8f6cec419f918',NULL,'{"state": "waiting", "content": {"animal": "777", "animal_candidates": ["777"], "findings": [], "actions": [], "follow_ups": [], "locomotion": {"score": 3, "scale": null}, "measures": [], "status": [], "denied": [], "remark": null, "corrections": [], "marks": ["locomotion-scale-open", "animal-not-on-roster"], "mark_details": [{"id": "locomotion-scale-open", "what": "score 3: of 1-5 or of 0-3?", "why": "Three on the 1 to 5 scale and three on the 0 to 3 scale are different cows.", "clear": "Choose the scale.", "first": 4, "last": 6, "candidates": ["1-5", "0-3"]}, {"id": "animal-not-on-roster", "what": "777 is not on the roster", "why": "It may be misheard or misread; the list may also be old.", "clear": "Choose an animal from the candidates, or confirm the number as new.", "first": 0, "last": 4, "candidates": ["777"]}]}, "confirmed_how": null, "confirmed_by": null, "reason": null, "touched": false}',NULL);
INSERT INTO "event" VALUES(10,'2026-11-27 02:10:36.072571','Robin Field','confirmed','entry',1,'f30241305af24c97a94c905a49342d4a','{"state": "waiting", "content": {"animal": "412", "animal_candidates": ["412"], "findings": [{"foot": "LH", "claw": "outer", "zone": 4, "lesion": "sole ulcer", "stage": null, "severity": null, "heard": "sole ulcer", "object": null, "course": null, "tissue": [], "region": null}], "actions": [{"kind": "block", "foot": "LH", "claw": "inner", "material": "rubber"}], "follow_ups": [{"kind": "look again", "in_days": 14, "date": "2026-03-16", "when": "in two weeks"}], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "corrections": [], "marks": [], "mark_details": []}, "confirmed_how": null, "confirmed_by": null, "reason": null, "touched": false}','{"state": "confirmed", "content": {"animal": "412", "animal_candidates": ["412"], "findings": [{"foot": "LH", "claw": "outer", "zone": 4, "lesion": "sole ulcer", "stage": null, "severity": null, "heard": "sole ulcer", "object": null, "course": null, "tissue": [], "region": null}], "actions": [{"kind": "block", "foot": "LH", "claw": "inner", "material": "rubber"}], "follow_ups": [{"kind": "look again", "in_days": 14, "date": "2026-03-16", "when": "in two weeks"}], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "corrections": [], "marks": [], "mark_details": []}, "confirmed_how": "one", "confirmed_by": "Robin Field", "reason": null, "touched": true}',NULL);
INSERT INTO "event" VALUES(11,'2026-11-27 02:10:36.227789','Robin Field','amended','entry',2,'214a07c81a81464a8f88ca7aaf06a27a','{"state": "waiting", "content": {"animal": "412", "animal_candidates": ["412"], "findings": [{"foot": "LH", "claw": null, "zone": null, "lesion": "no lesion", "stage": null, "severity": null, "heard": "clean", "object": null, "course": null, "tissue": [], "region": null}], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "corrections": [], "marks": ["animal-carried"], "mark_details": [{"id": "animal-carried", "what": "412 carries over from the note before", "why": "A note that names no animal is taken to be about the one before, which may be wrong; one that says ''same cow'' is marked when the number before was in doubt.", "clear": "Confirm the animal or give another.", "first": -1, "last": -1, "candidates": ["412"]}]}, "confirmed_how": null, "confirmed_by": null, "reason": null, "touched": false}','{"state": "waiting", "content": {"animal": "412", "animal_candidates": ["412"], "findings": [{"foot": "LH", "claw": "outer", "zone": null, "lesion": "no lesion", "stage": null, "severity": null, "heard": "clean", "object": null, "course": null, "tissue": [], "region": null}], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "corrections": [], "marks": ["animal-carried"], "mark_details": [{"id": "animal-carried", "what": "412 carries over from the note before", "why": "A note that names no animal is taken to be about the one before, which may be wrong; one that says ''same cow'' is marked when the number before was in doubt.", "clear": "Confirm the animal or give another.", "first": -1, "last": -1, "candidates": ["412"]}]}, "confirmed_how": null, "confirmed_by": null, "reason": null, "touched": true}',NULL);
INSERT INTO "event" VALUES(12,'2026-11-27 02:10:36.372295','Robin Field','confirmed','entry',2,'530a832d2efd4df78ba9080d346e22f8','{"state": "waiting", "content": {"animal": "412", "animal_candidates": ["412"], "findings": [{"foot": "LH", "claw": "outer", "zone": null, "lesion": "no lesion", "stage": null, "severity": null, "heard": "clean", "object": null, "course": null, "tissue": [], "region": null}], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "corrections": [], "marks": ["animal-carried"], "mark_details": [{"id": "animal-carried", "what": "412 carries over from the note before", "why": "A note that names no animal is taken to be about the one before, which may be wrong; one that says ''same cow'' is marked when the number before was in doubt.", "clear": "Confirm the animal or give another.", "first": -1, "last": -1, "candidates": ["412"]}]}, "confirmed_how": null, "confirmed_by": null, "reason": null, "touched": true}','{"state": "confirmed", "content": {"animal": "412", "animal_candidates": ["412"], "findings": [{"foot": "LH", "claw": "outer", "zone": null, "lesion": "no lesion", "stage": null, "severity": null, "heard": "clean", "object": null, "course": null, "tissue": [], "region": null}], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "corrections": [], "marks": ["animal-carried"], "mark_details": [{"id": "animal-carried", "what": "412 carries over from the note before", "why": "A note that names no animal is taken to be about the one before, which may be wrong; one that says ''same cow'' is marked when the number before was in doubt.", "clear": "Confirm the animal or give another.", "first": -1, "last": -1, "candidates": ["412"]}]}, "confirmed_how": "one", "confirmed_by": "Robin Field", "reason": null, "touched": true}',NULL);
INSERT INTO "event" VALUES(13,'2026-11-27 02:10:36.548516','Robin Field','undone','entry',2,'e3a08de2a7bb443a88d3f0c4835d431b','{"state": "confirmed", "content": {"animal": "412", "animal_candidates": ["412"], "findings": [{"foot": "LH", "claw": "outer", "zone": null, "lesion": "no lesion", "stage": null, "severity": null, "heard": "clean", "object": null, "course": null, "tissue": [], "region": null}], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "corrections": [], "marks": ["animal-carried"], "mark_details": [{"id": "animal-carried", "what": "412 carries over from the note before", "why": "A note that names no animal is taken to be about the one before, which may be wrong; one that says ''same cow'' is marked when the number before was in doubt.", "clear": "Confirm the animal or give another.", "first": -1, "last": -1, "candidates": ["412"]}]}, "confirmed_how": "one", "confirmed_by": "Robin Field", "reason": null, "touched": true}','{"state": "waiting", "content": {"animal": "412", "animal_candidates": ["412"], "findings": [{"foot": "LH", "claw": "outer", "zone": null, "lesion": "no lesion", "stage": null, "severity": null, "heard": "clean", "object": null, "course": null, "tissue": [], "region": null}], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "corrections": [], "marks": ["animal-carried"], "mark_details": [{"id": "animal-carried", "what": "412 carries over from the note before", "why": "A note that names no animal is taken to be about the one before, which may be wrong; one that says ''same cow'' is marked when the number before was in doubt.", "clear": "Confirm the animal or give another.", "first": -1, "last": -1, "candidates": ["412"]}]}, "confirmed_how": null, "confirmed_by": null, "reason": null, "touched": true}',12);
INSERT INTO "event" VALUES(14,'2026-11-27 02:10:36.656454','Robin Field','typed','entry',4,'6075ea1d3c4e4d9894c5a4b78edb62f7','{"state": "waiting", "content": {"animal": "415", "animal_candidates": ["415"], "findings": [], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "corrections": [], "marks": ["animal-alone", "detail-without-lesion", "leftover-words"], "mark_details": [{"id": "animal-alone", "what": "nothing to record was said of 415", "why": "The number may be a slip of the tongue, or what was found was not heard.", "clear": "Reject the entry, or add what was found.", "first": 0, "last": 3, "candidates": []}, {"id": "detail-without-lesion", "what": "''soul'' was said without a lesion", "why": "The lesion it belongs to was not understood.", "clear": "Give the lesion, or take the detail out.", "first": 3, "last": 4, "candidates": []}, {"id": "leftover-words", "what": "''elsa banana'' was not understood", "why": "A lost word may be a misheard lesion, a lost part of a number, or only chatter.", "clear": "Look at the words and complete what is missing.", "first": 4, "last": 6, "candidates": []}]}, "confirmed_how": null, "confirmed_by": null, "reason": null, "touched": false}','{"state": "waiting", "content": {"animal": "415", "animal_candidates": ["415"], "findings": [{"foot": "LH", "claw": null, "zone": null, "lesion": "sole ulcer", "stage": null, "severity": null, "heard": "sole ulcer", "object": null, "course": null, "tissue": [], "region": null}], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "corrections": [], "marks": [], "mark_details": []}, "confirmed_how": null, "confirmed_by": null, "reason": null, "touched": true}',NULL);
INSERT INTO "event" VALUES(15,'2026-11-27 02:10:36.741412','Robin Field','rejected','entry',8,'3fb28b6e0b194d68a7c41f0d78edc453','{"state": "waiting", "content": {"animal": null, "animal_candidates": [], "findings": [], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "corrections": [], "marks": ["nothing-understood"], "mark_details": [{"id": "nothing-understood", "what": "nothing here could be understood", "why": "no animal, finding or action was found in the words", "clear": "listen; type what was said, or reject it", "first": -1, "last": -1, "candidates": []}]}, "confirmed_how": null, "confirmed_by": null, "reason": null, "touched": false}','{"state": "rejected", "content": {"animal": null, "animal_candidates": [], "findings": [], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "corrections": [], "marks": ["nothing-understood"], "mark_details": [{"id": "nothing-understood", "what": "nothing here could be understood", "why": "no animal, finding or action was found in the words", "clear": "listen; type what was said, or reject it", "first": -1, "last": -1, "candidates": []}]}, "confirmed_how": null, "confirmed_by": null, "reason": "not a note", "touched": true}',NULL);
INSERT INTO "event" VALUES(16,'2026-11-27 02:10:36.784094','Robin Field','learnt','alias',1,'d0878eb94d09446f89bea47a784d225d',NULL,'{"heard": "soul elsa", "term": "sole ulcer"}',NULL);
INSERT INTO "event" VALUES(17,'2026-11-27 02:10:36.892215','Robin Field','follow-up done','follow_up',1,'8fbad949f83e4c0d82bd0ec3fe955788','{"done_on": null, "done_by": null, "snoozed_to": null}','{"done_on": "2026-03-16", "done_by": "Robin Field", "snoozed_to": null}',NULL);
CREATE TABLE farm (
	id INTEGER NOT NULL, 
	name VARCHAR NOT NULL, 
	PRIMARY KEY (id), 
	UNIQUE (name)
);
INSERT INTO "farm" VALUES(1,'Alder Farm');
CREATE TABLE finding (
	entry_id INTEGER NOT NULL, 
	animal_id INTEGER NOT NULL, 
	visit_id INTEGER NOT NULL, 
	farm_id INTEGER NOT NULL, 
	date DATE NOT NULL, 
	position INTEGER NOT NULL, 
	id INTEGER NOT NULL, 
	foot VARCHAR, 
	claw VARCHAR, 
	zone INTEGER, 
	lesion VARCHAR NOT NULL, 
	stage VARCHAR, 
	severity VARCHAR, 
	heard VARCHAR NOT NULL, 
	object VARCHAR, 
	course VARCHAR, 
	tissue JSON NOT NULL, 
	region VARCHAR, 
	lactation INTEGER, 
	PRIMARY KEY (id), 
	FOREIGN KEY(animal_id) REFERENCES animal (id), 
	FOREIGN KEY(entry_id) REFERENCES entry (id), 
	FOREIGN KEY(farm_id) REFERENCES farm (id), 
	FOREIGN KEY(visit_id) REFERENCES visit (id)
);
INSERT INTO "finding" VALUES(1,1,1,1,'2026-03-02',0,1,'LH','outer',4,'sole ulcer',NULL,NULL,'sole ulcer',NULL,NULL,'[]',NULL,NULL);
CREATE TABLE follow_up (
	entry_id INTEGER NOT NULL, 
	animal_id INTEGER NOT NULL, 
	visit_id INTEGER NOT NULL, 
	farm_id INTEGER NOT NULL, 
	date DATE NOT NULL, 
	position INTEGER NOT NULL, 
	id INTEGER NOT NULL, 
	kind VARCHAR NOT NULL, 
	due_on DATE, 
	in_days INTEGER, 
	said_when VARCHAR NOT NULL, 
	snoozed_to DATE, 
	done_on DATE, 
	done_entry_id INTEGER, 
	done_by VARCHAR, 
	PRIMARY KEY (id), 
	FOREIGN KEY(animal_id) REFERENCES animal (id), 
	FOREIGN KEY(done_entry_id) REFERENCES entry (id), 
	FOREIGN KEY(entry_id) REFERENCES entry (id), 
	FOREIGN KEY(farm_id) REFERENCES farm (id), 
	FOREIGN KEY(visit_id) REFERENCES visit (id)
);
INSERT INTO "follow_up" VALUES(1,1,1,1,'2026-03-02',0,1,'look again','2026-03-16',14,'in two weeks',NULL,'2026-03-16',NULL,'Robin Field');
CREATE TABLE locomotion (
	entry_id INTEGER NOT NULL, 
	animal_id INTEGER NOT NULL, 
	visit_id INTEGER NOT NULL, 
	farm_id INTEGER NOT NULL, 
	date DATE NOT NULL, 
	position INTEGER NOT NULL, 
	id INTEGER NOT NULL, 
	score INTEGER NOT NULL, 
	scale VARCHAR, 
	PRIMARY KEY (id), 
	FOREIGN KEY(animal_id) REFERENCES animal (id), 
	FOREIGN KEY(entry_id) REFERENCES entry (id), 
	FOREIGN KEY(farm_id) REFERENCES farm (id), 
	FOREIGN KEY(visit_id) REFERENCES visit (id)
);
CREATE TABLE measure (
	entry_id INTEGER NOT NULL, 
	animal_id INTEGER NOT NULL, 
	visit_id INTEGER NOT NULL, 
	farm_id INTEGER NOT NULL, 
	date DATE NOT NULL, 
	position INTEGER NOT NULL, 
	id INTEGER NOT NULL, 
	what VARCHAR NOT NULL, 
	number VARCHAR(40) NOT NULL, 
	unit VARCHAR NOT NULL, 
	PRIMARY KEY (id), 
	FOREIGN KEY(animal_id) REFERENCES animal (id), 
	FOREIGN KEY(entry_id) REFERENCES entry (id), 
	FOREIGN KEY(farm_id) REFERENCES farm (id), 
	FOREIGN KEY(visit_id) REFERENCES visit (id)
);
CREATE TABLE note (
	id INTEGER NOT NULL, 
	clip_id INTEGER NOT NULL, 
	visit_id INTEGER NOT NULL, 
	state VARCHAR NOT NULL, 
	engine VARCHAR NOT NULL, 
	model VARCHAR NOT NULL, 
	words JSON NOT NULL, 
	alternatives JSON NOT NULL, 
	has_speech BOOLEAN NOT NULL, 
	seconds_taken FLOAT NOT NULL, 
	heard_at DATETIME NOT NULL, 
	PRIMARY KEY (id), 
	FOREIGN KEY(clip_id) REFERENCES clip (id), 
	FOREIGN KEY(visit_id) REFERENCES visit (id), 
	UNIQUE (clip_id)
);
INSERT INTO "note" VALUES(1,1,1,'confirmed','given 1','none','[{"text": "cow"}, {"text": "four"}, {"text": "twelve"}, {"text": "left"}, {"text": "hind"}, {"text": "outer"}, {"text": "sole"}, {"text": "ulcer"}, {"text": "zone"}, {"text": "four"}, {"text": "rubber"}, {"text": "block"}, {"text": "on"}, {"text": "the"}, {"text": "inner"}, {"text": "look"}, {"text": "again"}, {"text": "in"}, {"text": "two"}, {"text": "weeks"}]','[]',1,0.0,'2026-11-27 02:10:31.682905');
INSERT INTO "note" VALUES(2,2,1,'waiting','given 1','none','[{"text": "left"}, {"text": "hind"}, {"text": "clean"}]','[]',1,0.0,'2026-11-27 02:10:31.684384');
INSERT INTO "note" VALUES(3,3,1,'waiting','given 1','none','[{"text": "same"}, {"text": "cow"}, {"text": "right"}, {"text": "front"}, {"text": "clean"}]','[]',1,0.0,'2026-11-27 02:10:31.684793');
INSERT INTO "note" VALUES(4,4,1,'waiting','given 1','none','[{"text": "cow"}, {"text": "four"}, {"text": "fifteen"}, {"text": "soul"}, {"text": "elsa"}, {"text": "banana"}]','[]',1,0.0,'2026-11-27 02:10:31.685133');
INSERT INTO "note" VALUES(5,5,1,'waiting','given 1','none','[{"text": "correction"}, {"text": "left"}, {"text": "hind"}]','[]',1,0.0,'2026-11-27 02:10:31.685449');
INSERT INTO "note" VALUES(6,6,1,'waiting','given 1','none','[{"text": "cow"}, {"text": "nine"}, {"text": "left"}, {"text": "front"}, {"text": "clean"}, {"text": "next"}, {"text": "cow"}, {"text": "twenty"}, {"text": "right"}, {"text": "hind"}, {"text": "toe"}, {"text": "ulcer"}, {"text": "remark"}, {"text": "kicks"}]','[]',1,0.0,'2026-11-27 02:10:31.685748');
INSERT INTO "note" VALUES(7,7,1,'rejected','given 1','none','[{"text": "did"}, {"text": "you"}, {"text": "see"}, {"text": "the"}, {"text": "match"}]','[]',1,0.0,'2026-11-27 02:10:31.746830');
INSERT INTO "note" VALUES(8,8,1,'waiting','given 1','none','[{"text": "cow"}, {"text": "seven"}, {"text": "seven"}, {"text": "seven"}, {"text": "score"}, {"text": "three"}]','[]',1,0.0,'2026-11-27 02:10:31.747195');
CREATE TABLE reading (
	id INTEGER NOT NULL, 
	note_id INTEGER NOT NULL, 
	origin VARCHAR NOT NULL, 
	who VARCHAR NOT NULL, 
	lexicon VARCHAR NOT NULL, 
	carried_in VARCHAR, 
	carried_out VARCHAR, 
	content JSON NOT NULL, 
	entries JSON NOT NULL, 
	read_at DATETIME NOT NULL, 
	PRIMARY KEY (id), 
	FOREIGN KEY(note_id) REFERENCES note (id)
);
INSERT INTO "reading" VALUES(1,1,'heard','dictate','af1fb3c27c36',NULL,'412','{"words": ["cow", "four", "twelve", "left", "hind", "outer", "sole", "ulcer", "zone", "four", "rubber", "block", "on", "the", "inner", "look", "again", "in", "two", "weeks"], "entries": [{"animal": "412", "animal_candidates": ["412"], "findings": [{"foot": "LH", "claw": "outer", "zone": 4, "lesion": "sole ulcer", "stage": null, "severity": null, "heard": "sole ulcer", "object": null, "course": null, "tissue": [], "region": null}], "actions": [{"kind": "block", "foot": "LH", "claw": "inner", "material": "rubber"}], "follow_ups": [{"kind": "look again", "in_days": 14, "date": "2026-03-16", "when": "in two weeks"}], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "corrections": [], "marks": [], "mark_details": []}], "commands": [], "command_details": [], "leftover": [], "leftover_at": [], "marks": [], "mark_details": []}','[{"animal": "412", "animal_candidates": ["412"], "findings": [{"foot": "LH", "claw": "outer", "zone": 4, "lesion": "sole ulcer", "stage": null, "severity": null, "heard": "sole ulcer", "object": null, "course": null, "tissue": [], "region": null}], "actions": [{"kind": "block", "foot": "LH", "claw": "inner", "material": "rubber"}], "follow_ups": [{"kind": "look again", "in_days": 14, "date": "2026-03-16", "when": "in two weeks"}], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "corrections": [], "marks": [], "mark_details": []}]','2026-11-27 02:10:34.276986');
INSERT INTO "reading" VALUES(2,2,'heard','dictate','af1fb3c27c36','412','412','{"words": ["left", "hind", "clean"], "entries": [{"animal": "412", "animal_candidates": ["412"], "findings": [{"foot": "LH", "claw": null, "zone": null, "lesion": "no lesion", "stage": null, "severity": null, "heard": "clean", "object": null, "course": null, "tissue": [], "region": null}], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "corrections": [], "marks": ["animal-carried"], "mark_details": [{"id": "animal-carried", "what": "412 carries over from the note before", "why": "A note that names no animal is taken to be about the one before, which may be wrong; one that says ''same cow'' is marked when the number before was in doubt.", "clear": "Confirm the animal or give another.", "first": -1, "last": -1, "candidates": ["412"]}]}], "commands": [], "command_details": [], "leftover": [], "leftover_at": [], "marks": [], "mark_details": []}','[{"animal": "412", "animal_candidates": ["412"], "findings": [{"foot": "LH", "claw": null, "zone": null, "lesion": "no lesion", "stage": null, "severity": null, "heard": "clean", "object": null, "course": null, "tissue": [], "region": null}], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "corrections": [], "marks": ["animal-carried"], "mark_details": [{"id": "animal-carried", "what": "412 carries over from the note before", "why": "A note that names no animal is taken to be about the one before, which may be wrong; one that says ''same cow'' is marked when the number before was in doubt.", "clear": "Confirm the animal or give another.", "first": -1, "last": -1, "candidates": ["412"]}]}]','2026-11-27 02:10:34.571360');
INSERT INTO "reading" VALUES(3,3,'heard','dictate','af1fb3c27c36','412','412','{"words": ["same", "cow", "right", "front", "clean"], "entries": [{"animal": "412", "animal_candidates": ["412"], "findings": [{"foot": "RF", "claw": null, "zone": null, "lesion": "no lesion", "stage": null, "severity": null, "heard": "clean", "object": null, "course": null, "tissue": [], "region": null}], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "corrections": [], "marks": ["animal-carried"], "mark_details": [{"id": "animal-carried", "what": "412 carries over from the note before, where the number was in doubt", "why": "A note that names no animal is taken to be about the one before, which may be wrong; one that says ''same cow'' is marked when the number before was in doubt.", "clear": "Confirm the animal or give another.", "first": -1, "last": -1, "candidates": ["412"]}]}], "commands": ["same cow"], "command_details": [{"kind": "same cow", "first": 0, "last": 2}], "leftover": [], "leftover_at": [], "marks": [], "mark_details": []}','[{"animal": "412", "animal_candidates": ["412"], "findings": [{"foot": "RF", "claw": null, "zone": null, "lesion": "no lesion", "stage": null, "severity": null, "heard": "clean", "object": null, "course": null, "tissue": [], "region": null}], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "corrections": [], "marks": ["animal-carried"], "mark_details": [{"id": "animal-carried", "what": "412 carries over from the note before, where the number was in doubt", "why": "A note that names no animal is taken to be about the one before, which may be wrong; one that says ''same cow'' is marked when the number before was in doubt.", "clear": "Confirm the animal or give another.", "first": -1, "last": -1, "candidates": ["412"]}]}]','2026-11-27 02:10:34.661763');
INSERT INTO "reading" VALUES(4,4,'heard','dictate','af1fb3c27c36','412','415','{"words": ["cow", "four", "fifteen", "soul", "elsa", "banana"], "entries": [{"animal": "415", "animal_candidates": ["415"], "findings": [], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "corrections": [], "marks": ["animal-alone", "detail-without-lesion", "leftover-words"], "mark_details": [{"id": "animal-alone", "what": "nothing to record was said of 415", "why": "The number may be a slip of the tongue, or what was found was not heard.", "clear": "Reject the entry, or add what was found.", "first": 0, "last": 3, "candidates": []}, {"id": "detail-without-lesion", "what": "''soul'' was said without a lesion", "why": "The lesion it belongs to was not understood.", "clear": "Give the lesion, or take the detail out.", "first": 3, "last": 4, "candidates": []}, {"id": "leftover-words", "what": "''elsa banana'' was not understood", "why": "A lost word may be a misheard lesion, a lost part of a number, or only chatter.", "clear": "Look at the words and complete what is missing.", "first": 4, "last": 6, "candidates": []}]}], "commands": [], "command_details": [], "leftover": ["elsa", "banana"], "leftover_at": [4, 5], "marks": [], "mark_details": []}','[{"animal": "415", "animal_candidates": ["415"], "findings": [], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "corrections": [], "marks": ["animal-alone", "detail-without-lesion", "leftover-words"], "mark_details": [{"id": "animal-alone", "what": "nothing to record was said of 415", "why": "The number may be a slip of the tongue, or what was found was not heard.", "clear": "Reject the entry, or add what was found.", "first": 0, "last": 3, "candidates": []}, {"id": "detail-without-lesion", "what": "''soul'' was said without a lesion", "why": "The lesion it belongs to was not understood.", "clear": "Give the lesion, or take the detail out.", "first": 3, "last": 4, "candidates": []}, {"id": "leftover-words", "what": "''elsa banana'' was not understood", "why": "A lost word may be a misheard lesion, a lost part of a number, or only chatter.", "clear": "Look at the words and complete what is missing.", "first": 4, "last": 6, "candidates": []}]}]','2026-11-27 02:10:35.000435');
INSERT INTO "reading" VALUES(5,5,'heard','dictate','af1fb3c27c36','415','415','{"words": ["correction", "left", "hind"], "entries": [], "commands": ["correction"], "command_details": [{"kind": "correction", "first": 0, "last": 1}], "leftover": [], "leftover_at": [], "marks": [], "mark_details": []}','[{"animal": null, "animal_candidates": [], "findings": [], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "corrections": [], "marks": ["nothing-to-record"], "mark_details": [{"id": "nothing-to-record", "what": "these words hold nothing to record", "why": "a spoken command alone, or a part of a note whose rest was not heard", "clear": "listen; reject it, or type what was said", "first": -1, "last": -1, "candidates": []}]}]','2026-11-27 02:10:35.137539');
INSERT INTO "reading" VALUES(6,6,'heard','dictate','af1fb3c27c36','415','20','{"words": ["cow", "nine", "left", "front", "clean", "next", "cow", "twenty", "right", "hind", "toe", "ulcer", "remark", "kicks"], "entries": [{"animal": "9", "animal_candidates": ["9"], "findings": [{"foot": "LF", "claw": null, "zone": null, "lesion": "no lesion", "stage": null, "severity": null, "heard": "clean", "object": null, "course": null, "tissue": [], "region": null}], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "corrections": [], "marks": [], "mark_details": []}, {"animal": "20", "animal_candidates": ["20"], "findings": [{"foot": "RH", "claw": null, "zone": null, "lesion": "toe ulcer", "stage": null, "severity": null, "heard": "toe ulcer", "object": null, "course": null, "tissue": [], "region": null}], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": "kicks", "corrections": [], "marks": [], "mark_details": []}], "commands": ["next cow"], "command_details": [{"kind": "next cow", "first": 5, "last": 7}], "leftover": [], "leftover_at": [], "marks": [], "mark_details": []}','[{"animal": "9", "animal_candidates": ["9"], "findings": [{"foot": "LF", "claw": null, "zone": null, "lesion": "no lesion", "stage": null, "severity": null, "heard": "clean", "object": null, "course": null, "tissue": [], "region": null}], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "corrections": [], "marks": [], "mark_details": []}, {"animal": "20", "animal_candidates": ["20"], "findings": [{"foot": "RH", "claw": null, "zone": null, "lesion": "toe ulcer", "stage": null, "severity": null, "heard": "toe ulcer", "object": null, "course": null, "tissue": [], "region": null}], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": "kicks", "corrections": [], "marks": [], "mark_details": []}]','2026-11-27 02:10:35.319427');
INSERT INTO "reading" VALUES(7,7,'heard','dictate','af1fb3c27c36','20',NULL,'{"words": ["did", "you", "see", "the", "match"], "entries": [], "commands": [], "command_details": [], "leftover": ["match"], "leftover_at": [4], "marks": ["nothing-understood"], "mark_details": [{"id": "nothing-understood", "what": "nothing was understood", "why": "Something was said, or the clip is noise; either way nobody has recorded it.", "clear": "Listen to the clip, then fill the note in or reject it.", "first": -1, "last": -1, "candidates": []}]}','[{"animal": null, "animal_candidates": [], "findings": [], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "corrections": [], "marks": ["nothing-understood"], "mark_details": [{"id": "nothing-understood", "what": "nothing here could be understood", "why": "no animal, finding or action was found in the words", "clear": "listen; type what was said, or reject it", "first": -1, "last": -1, "candidates": []}]}]','2026-11-27 02:10:35.462651');
INSERT INTO "reading" VALUES(8,8,'heard','dictate','af1fb3c27c36',NULL,'777','{"words": ["cow", "seven", "seven", "seven", "score", "three"], "entries": [{"animal": "777", "animal_candidates": ["777"], "findings": [], "actions": [], "follow_ups": [], "locomotion": {"score": 3, "scale": null}, "measures": [], "status": [], "denied": [], "remark": null, "corrections": [], "marks": ["locomotion-scale-open", "animal-not-on-roster"], "mark_details": [{"id": "locomotion-scale-open", "what": "score 3: of 1-5 or of 0-3?", "why": "Three on the 1 to 5 scale and three on the 0 to 3 scale are different cows.", "clear": "Choose the scale.", "first": 4, "last": 6, "candidates": ["1-5", "0-3"]}, {"id": "animal-not-on-roster", "what": "777 is not on the roster", "why": "It may be misheard or misread; the list may also be old.", "clear": "Choose an animal from the candidates, or confirm the number as new.", "first": 0, "last": 4, "candidates": ["777"]}]}], "commands": [], "command_details": [], "leftover": [], "leftover_at": [], "marks": [], "mark_details": []}','[{"animal": "777", "animal_candidates": ["777"], "findings": [], "actions": [], "follow_ups": [], "locomotion": {"score": 3, "scale": null}, "measures": [], "status": [], "denied": [], "remark": null, "corrections": [], "marks": ["locomotion-scale-open", "animal-not-on-roster"], "mark_details": [{"id": "locomotion-scale-open", "what": "score 3: of 1-5 or of 0-3?", "why": "Three on the 1 to 5 scale and three on the 0 to 3 scale are different cows.", "clear": "Choose the scale.", "first": 4, "last": 6, "candidates": ["1-5", "0-3"]}, {"id": "animal-not-on-roster", "what": "777 is not on the roster", "why": "It may be misheard or misread; the list may also be old.", "clear": "Choose an animal from the candidates, or confirm the number as new.", "first": 0, "last": 4, "candidates": ["777"]}]}]','2026-11-27 02:10:35.581866');
INSERT INTO "reading" VALUES(9,4,'typed','Robin Field','af1fb3c27c36','412','415','{"words": ["cow", "four", "fifteen", "left", "hind", "sole", "ulcer"], "entries": [{"animal": "415", "animal_candidates": ["415"], "findings": [{"foot": "LH", "claw": null, "zone": null, "lesion": "sole ulcer", "stage": null, "severity": null, "heard": "sole ulcer", "object": null, "course": null, "tissue": [], "region": null}], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "corrections": [], "marks": [], "mark_details": []}], "commands": [], "command_details": [], "leftover": [], "leftover_at": [], "marks": [], "mark_details": []}','[{"animal": "415", "animal_candidates": ["415"], "findings": [{"foot": "LH", "claw": null, "zone": null, "lesion": "sole ulcer", "stage": null, "severity": null, "heard": "sole ulcer", "object": null, "course": null, "tissue": [], "region": null}], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "corrections": [], "marks": [], "mark_details": []}]','2026-11-27 02:10:36.654600');
CREATE TABLE remark (
	entry_id INTEGER NOT NULL, 
	animal_id INTEGER NOT NULL, 
	visit_id INTEGER NOT NULL, 
	farm_id INTEGER NOT NULL, 
	date DATE NOT NULL, 
	position INTEGER NOT NULL, 
	id INTEGER NOT NULL, 
	text VARCHAR NOT NULL, 
	PRIMARY KEY (id), 
	FOREIGN KEY(animal_id) REFERENCES animal (id), 
	FOREIGN KEY(entry_id) REFERENCES entry (id), 
	FOREIGN KEY(farm_id) REFERENCES farm (id), 
	FOREIGN KEY(visit_id) REFERENCES visit (id)
);
CREATE TABLE status (
	entry_id INTEGER NOT NULL, 
	animal_id INTEGER NOT NULL, 
	visit_id INTEGER NOT NULL, 
	farm_id INTEGER NOT NULL, 
	date DATE NOT NULL, 
	position INTEGER NOT NULL, 
	id INTEGER NOT NULL, 
	text VARCHAR NOT NULL, 
	PRIMARY KEY (id), 
	FOREIGN KEY(animal_id) REFERENCES animal (id), 
	FOREIGN KEY(entry_id) REFERENCES entry (id), 
	FOREIGN KEY(farm_id) REFERENCES farm (id), 
	FOREIGN KEY(visit_id) REFERENCES visit (id)
);
CREATE TABLE trimmer (
	id INTEGER NOT NULL, 
	name VARCHAR NOT NULL, 
	PRIMARY KEY (id), 
	UNIQUE (name)
);
INSERT INTO "trimmer" VALUES(1,'Robin Field');
CREATE TABLE visit (
	id INTEGER NOT NULL, 
	farm_id INTEGER NOT NULL, 
	trimmer_id INTEGER NOT NULL, 
	date DATE NOT NULL, 
	whole_herd BOOLEAN, 
	PRIMARY KEY (id), 
	FOREIGN KEY(farm_id) REFERENCES farm (id), 
	FOREIGN KEY(trimmer_id) REFERENCES trimmer (id), 
	UNIQUE (farm_id, trimmer_id, date)
);
INSERT INTO "visit" VALUES(1,1,1,'2026-03-02',NULL);
CREATE INDEX event_subject ON event (subject, subject_id);
CREATE INDEX ix_event_act ON event (act);
CREATE INDEX ix_alias_trimmer_id ON alias (trimmer_id);
CREATE INDEX animal_eid ON animal (farm_id, eid);
CREATE UNIQUE INDEX animal_present_number ON animal (farm_id, number) WHERE status = 'present' AND merged_into_id IS NULL;
CREATE INDEX ix_animal_farm_id ON animal (farm_id);
CREATE INDEX ix_visit_date ON visit (date);
CREATE INDEX ix_visit_farm_id ON visit (farm_id);
CREATE INDEX ix_visit_trimmer_id ON visit (trimmer_id);
CREATE INDEX ix_clip_visit_id ON clip (visit_id);
CREATE INDEX ix_note_state ON note (state);
CREATE INDEX ix_note_visit_id ON note (visit_id);
CREATE INDEX entry_visit_state ON entry (visit_id, state);
CREATE INDEX ix_entry_animal_id ON entry (animal_id);
CREATE INDEX ix_reading_note_id ON reading (note_id);
CREATE INDEX action_animal_date ON action (animal_id, date);
CREATE INDEX action_farm_date ON action (farm_id, date);
CREATE INDEX ix_action_entry_id ON action (entry_id);
CREATE INDEX ix_action_visit_id ON action (visit_id);
CREATE INDEX finding_animal_date ON finding (animal_id, date);
CREATE INDEX finding_farm_date ON finding (farm_id, date);
CREATE INDEX ix_finding_entry_id ON finding (entry_id);
CREATE INDEX ix_finding_visit_id ON finding (visit_id);
CREATE INDEX follow_up_animal_date ON follow_up (animal_id, date);
CREATE INDEX follow_up_farm_due ON follow_up (farm_id, due_on);
CREATE INDEX ix_follow_up_done_entry_id ON follow_up (done_entry_id);
CREATE INDEX ix_follow_up_entry_id ON follow_up (entry_id);
CREATE INDEX ix_follow_up_visit_id ON follow_up (visit_id);
CREATE INDEX ix_locomotion_entry_id ON locomotion (entry_id);
CREATE INDEX ix_locomotion_visit_id ON locomotion (visit_id);
CREATE INDEX locomotion_animal_date ON locomotion (animal_id, date);
CREATE INDEX ix_measure_entry_id ON measure (entry_id);
CREATE INDEX ix_measure_visit_id ON measure (visit_id);
CREATE INDEX measure_animal_date ON measure (animal_id, date);
CREATE INDEX ix_remark_entry_id ON remark (entry_id);
CREATE INDEX ix_remark_visit_id ON remark (visit_id);
CREATE INDEX remark_animal_date ON remark (animal_id, date);
CREATE INDEX ix_status_entry_id ON status (entry_id);
CREATE INDEX ix_status_visit_id ON status (visit_id);
CREATE INDEX status_animal_date ON status (animal_id, date);
CREATE TRIGGER event_row_kept BEFORE UPDATE ON event FOR EACH ROW  BEGIN SELECT RAISE(ABORT, 'event is append-only'); END;
CREATE TRIGGER reading_row_kept BEFORE UPDATE ON reading FOR EACH ROW  BEGIN SELECT RAISE(ABORT, 'reading is append-only'); END;
CREATE TRIGGER note_words_kept BEFORE UPDATE OF words ON note FOR EACH ROW  BEGIN SELECT RAISE(ABORT, 'note is append-only'); END;
CREATE TRIGGER note_alternatives_kept BEFORE UPDATE OF alternatives ON note FOR EACH ROW  BEGIN SELECT RAISE(ABORT, 'note is append-only'); END;
CREATE TRIGGER clip_sha256_kept BEFORE UPDATE OF sha256 ON clip FOR EACH ROW  BEGIN SELECT RAISE(ABORT, 'clip is append-only'); END;
CREATE TRIGGER clip_not_deleted BEFORE DELETE ON clip FOR EACH ROW  BEGIN SELECT RAISE(ABORT, 'clip is append-only'); END;
CREATE TRIGGER entry_not_deleted BEFORE DELETE ON entry FOR EACH ROW  BEGIN SELECT RAISE(ABORT, 'entry is append-only'); END;
CREATE TRIGGER event_not_deleted BEFORE DELETE ON event FOR EACH ROW  BEGIN SELECT RAISE(ABORT, 'event is append-only'); END;
CREATE TRIGGER note_not_deleted BEFORE DELETE ON note FOR EACH ROW  BEGIN SELECT RAISE(ABORT, 'note is append-only'); END;
CREATE TRIGGER reading_not_deleted BEFORE DELETE ON reading FOR EACH ROW  BEGIN SELECT RAISE(ABORT, 'reading is append-only'); END;
COMMIT;