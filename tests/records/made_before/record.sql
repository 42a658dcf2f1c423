BEGIN TRANSACTION;
CREATE TABLE "auth_group" ("id" integer NOT NULL PRIMARY KEY AUTOINCREMENT, "name" varchar(150) NOT NULL UNIQUE);
CREATE TABLE "auth_group_permissions" ("id" integer NOT NULL PRIMARY KEY AUTOINCREMENT, "group_id" integer NOT NULL REFERENCES "auth_group" ("id") DEFERRABLE INITIALLY DEFERRED, "permission_id" integer NOT NULL REFERENCES "auth_permission" ("id") DEFERRABLE INITIALLY DEFERRED);
CREATE TABLE "auth_permission" ("id" integer NOT NULL PRIMARY KEY AUTOINCREMENT, "content_type_id" integer NOT NULL REFERENCES "django_content_type" ("id") DEFERRABLE INITIALLY DEFERRED, "codename" varchar(100) NOT NULL, "name" varchar(255) NOT NULL);
INSERT INTO "auth_permission" VALUES(1,1,'add_permission','Can add permission');
INSERT INTO "auth_permission" VALUES(2,1,'change_permission','Can change permission');
INSERT INTO "auth_permission" VALUES(3,1,'delete_permission','Can delete permission');
INSERT INTO "auth_permission" VALUES(4,1,'view_permission','Can view permission');
INSERT INTO "auth_permission" VALUES(5,2,'add_group','Can add group');
INSERT INTO "auth_permission" VALUES(6,2,'change_group','Can change group');
INSERT INTO "auth_permission" VALUES(7,2,'delete_group','Can delete group');
INSERT INTO "auth_permission" VALUES(8,2,'view_group','Can view group');
INSERT INTO "auth_permission" VALUES(9,3,'add_user','Can add user');
INSERT INTO "auth_permission" VALUES(10,3,'change_user','Can change user');
INSERT INTO "auth_permission" VALUES(11,3,'delete_user','Can delete user');
INSERT INTO "auth_permission" VALUES(12,3,'view_user','Can view user');
INSERT INTO "auth_permission" VALUES(13,4,'add_contenttype','Can add content type');
INSERT INTO "auth_permission" VALUES(14,4,'change_contenttype','Can change content type');
INSERT INTO "auth_permission" VALUES(15,4,'delete_contenttype','Can delete content type');
INSERT INTO "auth_permission" VALUES(16,4,'view_contenttype','Can view content type');
INSERT INTO "auth_permission" VALUES(17,5,'add_session','Can add session');
INSERT INTO "auth_permission" VALUES(18,5,'change_session','Can change session');
INSERT INTO "auth_permission" VALUES(19,5,'delete_session','Can delete session');
INSERT INTO "auth_permission" VALUES(20,5,'view_session','Can view session');
INSERT INTO "auth_permission" VALUES(21,6,'add_household','Can add household');
INSERT INTO "auth_permission" VALUES(22,6,'change_household','Can change household');
INSERT INTO "auth_permission" VALUES(23,6,'delete_household','Can delete household');
INSERT INTO "auth_permission" VALUES(24,6,'view_household','Can view household');
INSERT INTO "auth_permission" VALUES(25,7,'add_animal','Can add animal');
INSERT INTO "auth_permission" VALUES(26,7,'change_animal','Can change animal');
INSERT INTO "auth_permission" VALUES(27,7,'delete_animal','Can delete animal');
INSERT INTO "auth_permission" VALUES(28,7,'view_animal','Can view animal');
INSERT INTO "auth_permission" VALUES(29,8,'add_person','Can add person');
INSERT INTO "auth_permission" VALUES(30,8,'change_person','Can change person');
INSERT INTO "auth_permission" VALUES(31,8,'delete_person','Can delete person');
INSERT INTO "auth_permission" VALUES(32,8,'view_person','Can view person');
INSERT INTO "auth_permission" VALUES(33,9,'add_signinlink','Can add sign in link');
INSERT INTO "auth_permission" VALUES(34,9,'change_signinlink','Can change sign in link');
INSERT INTO "auth_permission" VALUES(35,9,'delete_signinlink','Can delete sign in link');
INSERT INTO "auth_permission" VALUES(36,9,'view_signinlink','Can view sign in link');
INSERT INTO "auth_permission" VALUES(37,10,'add_dayrollup','Can add day rollup');
INSERT INTO "auth_permission" VALUES(38,10,'change_dayrollup','Can change day rollup');
INSERT INTO "auth_permission" VALUES(39,10,'delete_dayrollup','Can delete day rollup');
INSERT INTO "auth_permission" VALUES(40,10,'view_dayrollup','Can view day rollup');
INSERT INTO "auth_permission" VALUES(41,11,'add_entry','Can add entry');
INSERT INTO "auth_permission" VALUES(42,11,'change_entry','Can change entry');
INSERT INTO "auth_permission" VALUES(43,11,'delete_entry','Can delete entry');
INSERT INTO "auth_permission" VALUES(44,11,'view_entry','Can view entry');
INSERT INTO "auth_permission" VALUES(45,12,'add_planversion','Can add plan version');
INSERT INTO "auth_permission" VALUES(46,12,'change_planversion','Can change plan version');
INSERT INTO "auth_permission" VALUES(47,12,'delete_planversion','Can delete plan version');
INSERT INTO "auth_permission" VALUES(48,12,'view_planversion','Can view plan version');
INSERT INTO "auth_permission" VALUES(49,13,'add_photo','Can add photo');
INSERT INTO "auth_permission" VALUES(50,13,'change_photo','Can change photo');
INSERT INTO "auth_permission" VALUES(51,13,'delete_photo','Can delete photo');
INSERT INTO "auth_permission" VALUES(52,13,'view_photo','Can view photo');
CREATE TABLE "auth_user" ("id" integer NOT NULL PRIMARY KEY AUTOINCREMENT, "password" varchar(128) NOT NULL, "last_login" datetime NULL, "is_superuser" bool NOT NULL, "username" varchar(150) NOT NULL UNIQUE, "last_name" varchar(150) NOT NULL, "email" varchar(254) NOT NULL, "is_staff" bool NOT NULL, "is_active" bool NOT NULL, "date_joined" datetime NOT NULL, "first_name" varchar(150) NOT NULL);
INSERT INTO "auth_user" VALUES(1,'!LQIF0ppbOKK69iBvGijaBGoLlTp56OBl2HXQvZTR',NULL,0,'UDjbjC3EZfjIeBVi','','',0,1,'2026-11-25 12:00:00','');
INSERT INTO "auth_user" VALUES(2,'!OH5mtQ5hFuTs1BZIVa0ceBpERekgBWVSenSYMlRg',NULL,0,'nhCOxqqJJK2tEb7x','','',0,1,'2026-11-25 12:00:00','');
INSERT INTO "auth_user" VALUES(3,'!kyH3njZKghoTIewTIDnuJ1NtyAGCq8FP3dvw0Oo3',NULL,0,'U-wma6-4udfdgjtU','','',0,1,'2026-11-25 12:00:00','');
CREATE TABLE "auth_user_groups" ("id" integer NOT NULL PRIMARY KEY AUTOINCREMENT, "user_id" integer NOT NULL REFERENCES "auth_user" ("id") DEFERRABLE INITIALLY DEFERRED, "group_id" integer NOT NULL REFERENCES "auth_group" ("id") DEFERRABLE INITIALLY DEFERRED);
CREATE TABLE "auth_user_user_permissions" ("id" integer NOT NULL PRIMARY KEY AUTOINCREMENT, "user_id" integer NOT NULL REFERENCES "auth_user" ("id") DEFERRABLE INITIALLY DEFERRED, "permission_id" integer NOT NULL REFERENCES "auth_permission" ("id") DEFERRABLE INITIALLY DEFERRED);
CREATE TABLE "django_content_type" ("id" integer NOT NULL PRIMARY KEY AUTOINCREMENT, "app_label" varchar(100) NOT NULL, "model" varchar(100) NOT NULL);
INSERT INTO "django_content_type" VALUES(1,'auth','permission');
INSERT INTO "django_content_type" VALUES(2,'auth','group');
INSERT INTO "django_content_type" VALUES(3,'auth','user');
INSERT INTO "django_content_type" VALUES(4,'contenttypes','contenttype');
INSERT INTO "django_content_type" VALUES(5,'sessions','session');
INSERT INTO "django_content_type" VALUES(6,'records','household');
INSERT INTO "django_content_type" VALUES(7,'records','animal');
INSERT INTO "django_content_type" VALUES(8,'records','person');
INSERT INTO "django_content_type" VALUES(9,'records','signinlink');
INSERT INTO "django_content_type" VALUES(10,'records','dayrollup');
INSERT INTO "django_content_type" VALUES(11,'records','entry');
INSERT INTO "django_content_type" VALUES(12,'records','planversion');
INSERT INTO "django_content_type" VALUES(13,'records','photo');
CREATE TABLE "django_migrations" ("id" integer NOT NULL PRIMARY KEY AUTOINCREMENT, "app" varchar(255) NOT NULL, "name" varchar(255) NOT NULL, "applied" datetime NOT NULL);
INSERT INTO "django_migrations" VALUES(1,'contenttypes','0001_initial','2026-11-25 12:00:00');
INSERT INTO "django_migrations" VALUES(2,'contenttypes','0002_remove_content_type_name','2026-11-25 12:00:00');
INSERT INTO "django_migrations" VALUES(3,'auth','0001_initial','2026-11-25 12:00:00');
INSERT INTO "django_migrations" VALUES(4,'auth','0002_alter_permission_name_max_length','2026-11-25 12:00:00');
INSERT INTO "django_migrations" VALUES(5,'auth','0003_alter_user_email_max_length','2026-11-25 12:00:00');
INSERT INTO "django_migrations" VALUES(6,'auth','0004_alter_user_username_opts','2026-11-25 12:00:00');
INSERT INTO "django_migrations" VALUES(7,'auth','0005_alter_user_last_login_null','2026-11-25 12:00:00');
INSERT INTO "django_migrations" VALUES(8,'auth','0006_require_contenttypes_0002','2026-11-25 12:00:00');
INSERT INTO "django_migrations" VALUES(9,'auth','0007_alter_validators_add_error_messages','2026-11-25 12:00:00');
INSERT INTO "django_migrations" VALUES(10,'auth','0008_alter_user_username_max_length','2026-11-25 12:00:00');
INSERT INTO "django_migrations" VALUES(11,'auth','0009_alter_user_last_name_max_length','2026-11-25 12:00:00');
INSERT INTO "django_migrations" VALUES(12,'auth','0010_alter_group_name_max_length','2026-11-25 12:00:00');
INSERT INTO "django_migrations" VALUES(13,'auth','0011_update_proxy_permissions','2026-11-25 12:00:00');
INSERT INTO "django_migrations" VALUES(14,'auth','0012_alter_user_first_name_max_length','2026-11-25 12:00:00');
INSERT INTO "django_migrations" VALUES(15,'records','0001_first','2026-11-25 12:00:00');
INSERT INTO "django_migrations" VALUES(16,'records','0002_append_only','2026-11-25 12:00:00');
INSERT INTO "django_migrations" VALUES(17,'records','0003_photos_looks_and_search','2026-11-25 12:00:00');
INSERT INTO "django_migrations" VALUES(18,'sessions','0001_initial','2026-11-25 12:00:00');
CREATE TABLE "django_session" ("session_key" varchar(40) NOT NULL PRIMARY KEY, "session_data" text NOT NULL, "expire_date" datetime NOT NULL);
CREATE TABLE "records_animal" ("id" char(32) NOT NULL PRIMARY KEY, "name" varchar(80) NOT NULL, "household_id" char(32) NOT NULL REFERENCES "records_household" ("id") DEFERRABLE INITIALLY DEFERRED, "color" varchar(16) NOT NULL, "shape" smallint unsigned NULL CHECK ("shape" >= 0), "photo_id" char(32) NULL REFERENCES "records_photo" ("id") DEFERRABLE INITIALLY DEFERRED);
INSERT INTO "records_animal" VALUES('d331b7e3b11b44dca049d35856f2e7f9','Juniper','5d2de0cb0d8649bba32773876b4171de','',NULL,NULL);
INSERT INTO "records_animal" VALUES('c9ad55e4a8bb4684995493326354d36f','Sorrel','5d2de0cb0d8649bba32773876b4171de','',NULL,NULL);
CREATE TABLE "records_dayrollup" ("id" integer NOT NULL PRIMARY KEY AUTOINCREMENT, "day" date NOT NULL, "entries" integer unsigned NOT NULL CHECK ("entries" >= 0), "last_at" datetime NOT NULL, "blend_low_ml" real NULL, "blend_high_ml" real NULL, "back_low_ml" real NULL, "back_high_ml" real NULL, "flush_ml" real NULL, "animal_id" char(32) NOT NULL REFERENCES "records_animal" ("id") DEFERRABLE INITIALLY DEFERRED, "household_id" char(32) NOT NULL REFERENCES "records_household" ("id") DEFERRABLE INITIALLY DEFERRED, CONSTRAINT "rollup_day_once" UNIQUE ("animal_id", "day"));
INSERT INTO "records_dayrollup" VALUES(1,'2026-11-25',25,'2026-11-25 12:00:00',420.0,420.0,NULL,NULL,NULL,'d331b7e3b11b44dca049d35856f2e7f9','5d2de0cb0d8649bba32773876b4171de');
INSERT INTO "records_dayrollup" VALUES(2,'2026-11-24',37,'2026-11-24 22:31:00',580.0,640.0,5.0,235.0,10.0,'d331b7e3b11b44dca049d35856f2e7f9','5d2de0cb0d8649bba32773876b4171de');
INSERT INTO "records_dayrollup" VALUES(3,'2026-11-23',1,'2026-11-23 18:00:00',NULL,NULL,NULL,NULL,NULL,'d331b7e3b11b44dca049d35856f2e7f9','5d2de0cb0d8649bba32773876b4171de');
CREATE TABLE "records_entry" ("id" char(32) NOT NULL PRIMARY KEY, "seq" bigint NOT NULL, "kind" varchar(40) NOT NULL, "at" datetime NOT NULL, "zone" varchar(64) NOT NULL, "day" date NOT NULL, "session" varchar(16) NOT NULL, "recorded_at" datetime NOT NULL, "device" varchar(80) NOT NULL, "payload" text NOT NULL, "corrects" char(32) NULL, "animal_id" char(32) NOT NULL REFERENCES "records_animal" ("id") DEFERRABLE INITIALLY DEFERRED, "household_id" char(32) NOT NULL REFERENCES "records_household" ("id") DEFERRABLE INITIALLY DEFERRED, "by_id" char(32) NOT NULL REFERENCES "records_person" ("id") DEFERRABLE INITIALLY DEFERRED, CONSTRAINT "entry_seq_once" UNIQUE ("household_id", "seq"));
INSERT INTO "records_entry" VALUES('01a2116596407331b7e3b11b44dca000',1,'session_started','2026-11-25 06:30:00','Europe/Dublin','2026-11-25','2026-11-25T06:30','2026-11-25 12:00:00','kitchen-phone','{"kind":"session_started","session":"2026-11-25T06:30"}',NULL,'d331b7e3b11b44dca049d35856f2e7f9','5d2de0cb0d8649bba32773876b4171de','ed99c49248e44af1a88cdb1f0701e41a');
INSERT INTO "records_entry" VALUES('01a211676b007331b7e3b11b44dca001',2,'medicine_given','2026-11-25 06:32:00','Europe/Dublin','2026-11-25','2026-11-25T06:30','2026-11-25 12:00:00','kitchen-phone','{"kind":"medicine_given","session":"2026-11-25T06:30","medicine":"metoclopramide","dose_mg":"5.22","amount":"5.2 mL","ml":"5.2","outcome":"given"}',NULL,'d331b7e3b11b44dca049d35856f2e7f9','5d2de0cb0d8649bba32773876b4171de','ed99c49248e44af1a88cdb1f0701e41a');
INSERT INTO "records_entry" VALUES('01a211693fc07331b7e3b11b44dca002',3,'medicine_given','2026-11-25 06:34:00','Europe/Dublin','2026-11-25','2026-11-25T06:30','2026-11-25 12:00:00','kitchen-phone','{"kind":"medicine_given","session":"2026-11-25T06:30","medicine":"omeprazole","dose_mg":"12","amount":"6 mL","ml":"6","outcome":"given"}',NULL,'d331b7e3b11b44dca049d35856f2e7f9','5d2de0cb0d8649bba32773876b4171de','ed99c49248e44af1a88cdb1f0701e41a');
INSERT INTO "records_entry" VALUES('01a2116b14807331b7e3b11b44dca003',4,'session_ended','2026-11-25 06:36:00','Europe/Dublin','2026-11-25','2026-11-25T06:30','2026-11-25 12:00:00','kitchen-phone','{"kind":"session_ended","session":"2026-11-25T06:30"}',NULL,'d331b7e3b11b44dca049d35856f2e7f9','5d2de0cb0d8649bba32773876b4171de','ed99c49248e44af1a88cdb1f0701e41a');
INSERT INTO "records_entry" VALUES('01a211810d807331b7e3b11b44dca000',5,'session_started','2026-11-25 07:00:00','Europe/Dublin','2026-11-25','2026-11-25T07:00','2026-11-25 12:00:00','kitchen-phone','{"kind":"session_started","session":"2026-11-25T07:00"}',NULL,'d331b7e3b11b44dca049d35856f2e7f9','5d2de0cb0d8649bba32773876b4171de','ed99c49248e44af1a88cdb1f0701e41a');
INSERT INTO "records_entry" VALUES('01a21182e2407331b7e3b11b44dca001',6,'fill_given','2026-11-25 07:02:00','Europe/Dublin','2026-11-25','2026-11-25T07:00','2026-11-25 12:00:00','kitchen-phone','{"kind":"fill_given","session":"2026-11-25T07:00","fill":1,"ml":60.0}',NULL,'d331b7e3b11b44dca049d35856f2e7f9','5d2de0cb0d8649bba32773876b4171de','ed99c49248e44af1a88cdb1f0701e41a');
INSERT INTO "records_entry" VALUES('01a21184b7007331b7e3b11b44dca002',7,'fill_given','2026-11-25 07:04:00','Europe/Dublin','2026-11-25','2026-11-25T07:00','2026-11-25 12:00:00','kitchen-phone','{"kind":"fill_given","session":"2026-11-25T07:00","fill":2,"ml":60.0}',NULL,'d331b7e3b11b44dca049d35856f2e7f9','5d2de0cb0d8649bba32773876b4171de','ed99c49248e44af1a88cdb1f0701e41a');
INSERT INTO "records_entry" VALUES('01a211868bc07331b7e3b11b44dca003',8,'fill_given','2026-11-25 07:06:00','Europe/Dublin','2026-11-25','2026-11-25T07:00','2026-11-25 12:00:00','kitchen-phone','{"kind":"fill_given","session":"2026-11-25T07:00","fill":3,"ml":60.0}',NULL,'d331b7e3b11b44dca049d35856f2e7f9','5d2de0cb0d8649bba32773876b4171de','ed99c49248e44af1a88cdb1f0701e41a');
INSERT INTO "records_entry" VALUES('01a2118860807331b7e3b11b44dca004',9,'fill_given','2026-11-25 07:08:00','Europe/Dublin','2026-11-25','2026-11-25T07:00','2026-11-25 12:00:00','kitchen-phone','{"kind":"fill_given","session":"2026-11-25T07:00","fill":4,"ml":30.0}',NULL,'d331b7e3b11b44dca049d35856f2e7f9','5d2de0cb0d8649bba32773876b4171de','ed99c49248e44af1a88cdb1f0701e41a');
INSERT INTO "records_entry" VALUES('01a2118a35407331b7e3b11b44dca005',10,'session_ended','2026-11-25 07:10:00','Europe/Dublin','2026-11-25','2026-11-25T07:00','2026-11-25 12:00:00','kitchen-phone','{"kind":"session_ended","session":"2026-11-25T07:00"}',NULL,'d331b7e3b11b44dca049d35856f2e7f9','5d2de0cb0d8649bba32773876b4171de','ed99c49248e44af1a88cdb1f0701e41a');
INSERT INTO "records_entry" VALUES('01a212783ec07331b7e3b11b44dca000',11,'session_started','2026-11-25 11:30:00','Europe/Dublin','2026-11-25','2026-11-25T11:30','2026-11-25 12:00:00','kitchen-phone','{"kind":"session_started","session":"2026-11-25T11:30"}',NULL,'d331b7e3b11b44dca049d35856f2e7f9','5d2de0cb0d8649bba32773876b4171de','ed99c49248e44af1a88cdb1f0701e41a');
INSERT INTO "records_entry" VALUES('01a2127a13807331b7e3b11b44dca001',12,'fill_given','2026-11-25 11:32:00','Europe/Dublin','2026-11-25','2026-11-25T11:30','2026-11-25 12:00:00','kitchen-phone','{"kind":"fill_given","session":"2026-11-25T11:30","fill":1,"ml":60.0}',NULL,'d331b7e3b11b44dca049d35856f2e7f9','5d2de0cb0d8649bba32773876b4171de','ed99c49248e44af1a88cdb1f0701e41a');
INSERT INTO "records_entry" VALUES('01a2127be8407331b7e3b11b44dca002',13,'fill_given','2026-11-25 11:34:00','Europe/Dublin','2026-11-25','2026-11-25T11:30','2026-11-25 12:00:00','kitchen-phone','{"kind":"fill_given","session":"2026-11-25T11:30","fill":2,"ml":60.0}',NULL,'d331b7e3b11b44dca049d35856f2e7f9','5d2de0cb0d8649bba32773876b4171de','ed99c49248e44af1a88cdb1f0701e41a');
INSERT INTO "records_entry" VALUES('01a2127dbd007331b7e3b11b44dca003',14,'fill_given','2026-11-25 11:36:00','Europe/Dublin','2026-11-25','2026-11-25T11:30','2026-11-25 12:00:00','kitchen-phone','{"kind":"fill_given","session":"2026-11-25T11:30","fill":3,"ml":60.0}',NULL,'d331b7e3b11b44dca049d35856f2e7f9','5d2de0cb0d8649bba32773876b4171de','ed99c49248e44af1a88cdb1f0701e41a');
INSERT INTO "records_entry" VALUES('01a2127f91c07331b7e3b11b44dca004',15,'fill_given','2026-11-25 11:38:00','Europe/Dublin','2026-11-25','2026-11-25T11:30','2026-11-25 12:00:00','kitchen-phone','{"kind":"fill_given","session":"2026-11-25T11:30","fill":4,"ml":30.0}',NULL,'d331b7e3b11b44dca049d35856f2e7f9','5d2de0cb0d8649bba32773876b4171de','ed99c49248e44af1a88cdb1f0701e41a');
INSERT INTO "records_entry" VALUES('01a2128166807331b7e3b11b44dca005',16,'session_ended','2026-11-25 11:40:00','Europe/Dublin','2026-11-25','2026-11-25T11:30','2026-11-25 12:00:00','kitchen-phone','{"kind":"session_ended","session":"2026-11-25T11:30"}',NULL,'d331b7e3b11b44dca049d35856f2e7f9','5d2de0cb0d8649bba32773876b4171de','ed99c49248e44af1a88cdb1f0701e41a');
INSERT INTO "records_entry" VALUES('01a20f24ce0070008000000000000001',17,'session_started','2026-11-24 20:00:00','Europe/Dublin','2026-11-24','2026-11-24T20:00','2026-11-25 12:00:00','noor-phone','{"kind":"session_started","session":"2026-11-24T20:00"}',NULL,'d331b7e3b11b44dca049d35856f2e7f9','5d2de0cb0d8649bba32773876b4171de','15609fbd553d4f5bbfff367361f4039a');
INSERT INTO "records_entry" VALUES('01a20f25b86070008000000000000002',18,'session_taken','2026-11-24 20:01:00','Europe/Dublin','2026-11-24','2026-11-24T20:00','2026-11-25 12:00:00','noor-phone','{"kind":"session_taken","session":"2026-11-24T20:00"}',NULL,'d331b7e3b11b44dca049d35856f2e7f9','5d2de0cb0d8649bba32773876b4171de','ed99c49248e44af1a88cdb1f0701e41a');
INSERT INTO "records_entry" VALUES('01a20f26a2c070008000000000000003',19,'step_done','2026-11-24 20:02:00','Europe/Dublin','2026-11-24','2026-11-24T20:00','2026-11-25 12:00:00','noor-phone','{"kind":"step_done","session":"2026-11-24T20:00","step":"check-mark"}',NULL,'d331b7e3b11b44dca049d35856f2e7f9','5d2de0cb0d8649bba32773876b4171de','ed99c49248e44af1a88cdb1f0701e41a');
INSERT INTO "records_entry" VALUES('01a20f278d2070008000000000000004',20,'step_skipped','2026-11-24 20:03:00','Europe/Dublin','2026-11-24','2026-11-24T20:00','2026-11-25 12:00:00','noor-phone','{"kind":"step_skipped","session":"2026-11-24T20:00","step":"warm","reason":"warm already"}',NULL,'d331b7e3b11b44dca049d35856f2e7f9','5d2de0cb0d8649bba32773876b4171de','ed99c49248e44af1a88cdb1f0701e41a');
INSERT INTO "records_entry" VALUES('01a20f28778070008000000000000005',21,'flush_given','2026-11-24 20:04:00','Europe/Dublin','2026-11-24','2026-11-24T20:00','2026-11-25 12:00:00','noor-phone','{"kind":"flush_given","session":"2026-11-24T20:00","step":"flush-before","ml":10.0}',NULL,'d331b7e3b11b44dca049d35856f2e7f9','5d2de0cb0d8649bba32773876b4171de','ed99c49248e44af1a88cdb1f0701e41a');
INSERT INTO "records_entry" VALUES('01a20f28778070008000000000000006',22,'batch_chosen','2026-11-24 20:04:00','Europe/Dublin','2026-11-24','2026-11-24T20:00','2026-11-25 12:00:00','noor-phone','{"kind":"batch_chosen","session":"2026-11-24T20:00","batch":"blue jar","made_on":"2026-11-24"}',NULL,'d331b7e3b11b44dca049d35856f2e7f9','5d2de0cb0d8649bba32773876b4171de','ed99c49248e44af1a88cdb1f0701e41a');
INSERT INTO "records_entry" VALUES('01a20f2961e070008000000000000007',23,'fill_given','2026-11-24 20:05:00','Europe/Dublin','2026-11-24','2026-11-24T20:00','2026-11-25 12:00:00','noor-phone','{"kind":"fill_given","session":"2026-11-24T20:00","fill":1,"ml":60.0}',NULL,'d331b7e3b11b44dca049d35856f2e7f9','5d2de0cb0d8649bba32773876b4171de','ed99c49248e44af1a88cdb1f0701e41a');
INSERT INTO "records_entry" VALUES('01a20f2a4c4070008000000000000008',24,'session_paused','2026-11-24 20:06:00','Europe/Dublin','2026-11-24','2026-11-24T20:00','2026-11-25 12:00:00','noor-phone','{"kind":"session_paused","session":"2026-11-24T20:00"}',NULL,'d331b7e3b11b44dca049d35856f2e7f9','5d2de0cb0d8649bba32773876b4171de','ed99c49248e44af1a88cdb1f0701e41a');
INSERT INTO "records_entry" VALUES('01a20f2b36a070008000000000000009',25,'session_resumed','2026-11-24 20:07:00','Europe/Dublin','2026-11-24','2026-11-24T20:00','2026-11-25 12:00:00','noor-phone','{"kind":"session_resumed","session":"2026-11-24T20:00"}',NULL,'d331b7e3b11b44dca049d35856f2e7f9','5d2de0cb0d8649bba32773876b4171de','ed99c49248e44af1a88cdb1f0701e41a');
INSERT INTO "records_entry" VALUES('01a20f2c21007000800000000000000a',26,'fill_given','2026-11-24 20:08:00','Europe/Dublin','2026-11-24','2026-11-24T20:00','2026-11-25 12:00:00','noor-phone','{"kind":"fill_given","session":"2026-11-24T20:00","fill":2,"ml":60.0}',NULL,'d331b7e3b11b44dca049d35856f2e7f9','5d2de0cb0d8649bba32773876b4171de','ed99c49248e44af1a88cdb1f0701e41a');
INSERT INTO "records_entry" VALUES('01a20f2c21007000800000000000000b',27,'fill_given','2026-11-24 20:08:00','Europe/Dublin','2026-11-24','2026-11-24T20:00','2026-11-25 12:00:00','noor-phone','{"kind":"fill_given","session":"2026-11-24T20:00","fill":2,"ml":60.0}',NULL,'d331b7e3b11b44dca049d35856f2e7f9','5d2de0cb0d8649bba32773876b4171de','15609fbd553d4f5bbfff367361f4039a');
INSERT INTO "records_entry" VALUES('01a20f2d0b607000800000000000000c',28,'fill_given','2026-11-24 20:09:00','Europe/Dublin','2026-11-24','2026-11-24T20:00','2026-11-25 12:00:00','noor-phone','{"kind":"fill_given","session":"2026-11-24T20:00","fill":3,"ml":50.0}',NULL,'d331b7e3b11b44dca049d35856f2e7f9','5d2de0cb0d8649bba32773876b4171de','ed99c49248e44af1a88cdb1f0701e41a');
INSERT INTO "records_entry" VALUES('01a20f2df5c07000800000000000000d',29,'fill_given','2026-11-24 20:10:00','Europe/Dublin','2026-11-24','2026-11-24T20:00','2026-11-25 12:00:00','noor-phone','{"kind":"fill_given","session":"2026-11-24T20:00","fill":4,"ml":60.0}',NULL,'d331b7e3b11b44dca049d35856f2e7f9','5d2de0cb0d8649bba32773876b4171de','ed99c49248e44af1a88cdb1f0701e41a');
INSERT INTO "records_entry" VALUES('01a20f2ee0207000800000000000000e',30,'withdrawn','2026-11-24 20:11:00','Europe/Dublin','2026-11-24','','2026-11-25 12:00:00','noor-phone','{"kind":"withdrawn","reason":"Pressed by mistake"}','01a20f2df5c07000800000000000000d','d331b7e3b11b44dca049d35856f2e7f9','5d2de0cb0d8649bba32773876b4171de','ed99c49248e44af1a88cdb1f0701e41a');
INSERT INTO "records_entry" VALUES('01a20f2fca807000800000000000000f',31,'meal_ended','2026-11-24 20:12:00','Europe/Dublin','2026-11-24','2026-11-24T20:00','2026-11-25 12:00:00','noor-phone','{"kind":"meal_ended","session":"2026-11-24T20:00","total_ml":170.0,"fills":3}',NULL,'d331b7e3b11b44dca049d35856f2e7f9','5d2de0cb0d8649bba32773876b4171de','ed99c49248e44af1a88cdb1f0701e41a');
INSERT INTO "records_entry" VALUES('01a20f30b4e070008000000000000010',32,'session_ended','2026-11-24 20:13:00','Europe/Dublin','2026-11-24','2026-11-24T20:00','2026-11-25 12:00:00','noor-phone','{"kind":"session_ended","session":"2026-11-24T20:00"}',NULL,'d331b7e3b11b44dca049d35856f2e7f9','5d2de0cb0d8649bba32773876b4171de','ed99c49248e44af1a88cdb1f0701e41a');
INSERT INTO "records_entry" VALUES('01a20f40454070008000000000000011',33,'came_back','2026-11-24 20:30:00','Europe/Dublin','2026-11-24','2026-11-24T20:00','2026-11-25 12:00:00','noor-phone','{"kind":"came_back","session":"2026-11-24T20:00","ml":"not known"}',NULL,'d331b7e3b11b44dca049d35856f2e7f9','5d2de0cb0d8649bba32773876b4171de','ed99c49248e44af1a88cdb1f0701e41a');
INSERT INTO "records_entry" VALUES('01a20f7733c070008000000000000012',34,'came_back','2026-11-24 21:30:00','Europe/Dublin','2026-11-24','','2026-11-25 12:00:00','noor-phone','{"kind":"came_back","ml":5.0}',NULL,'d331b7e3b11b44dca049d35856f2e7f9','5d2de0cb0d8649bba32773876b4171de','ed99c49248e44af1a88cdb1f0701e41a');
INSERT INTO "records_entry" VALUES('01a20c5f456070008000000000000013',35,'session_skipped','2026-11-24 07:05:00','Europe/Dublin','2026-11-24','2026-11-24T07:00','2026-11-25 12:00:00','noor-phone','{"kind":"session_skipped","session":"2026-11-24T07:00","reason":"The vet said to leave it out"}',NULL,'d331b7e3b11b44dca049d35856f2e7f9','5d2de0cb0d8649bba32773876b4171de','15609fbd553d4f5bbfff367361f4039a');
INSERT INTO "records_entry" VALUES('01a20d51e2c070008000000000000014',36,'session_started','2026-11-24 11:30:00','Europe/Dublin','2026-11-24','2026-11-24T11:30','2026-11-25 12:00:00','noor-phone','{"kind":"session_started","session":"2026-11-24T11:30"}',NULL,'d331b7e3b11b44dca049d35856f2e7f9','5d2de0cb0d8649bba32773876b4171de','15609fbd553d4f5bbfff367361f4039a');
INSERT INTO "records_entry" VALUES('01a20d5b0a8070008000000000000015',37,'session_stopped','2026-11-24 11:40:00','Europe/Dublin','2026-11-24','2026-11-24T11:30','2026-11-25 12:00:00','noor-phone','{"kind":"session_stopped","session":"2026-11-24T11:30","reason":"Coughed"}',NULL,'d331b7e3b11b44dca049d35856f2e7f9','5d2de0cb0d8649bba32773876b4171de','15609fbd553d4f5bbfff367361f4039a');
INSERT INTO "records_entry" VALUES('01a20d5bf4e070008000000000000016',38,'feeding_locked','2026-11-24 11:41:00','Europe/Dublin','2026-11-24','2026-11-24T11:30','2026-11-25 12:00:00','noor-phone','{"kind":"feeding_locked","trouble":"cough","session":"2026-11-24T11:30","words":"after the second fill"}',NULL,'d331b7e3b11b44dca049d35856f2e7f9','5d2de0cb0d8649bba32773876b4171de','15609fbd553d4f5bbfff367361f4039a');
INSERT INTO "records_entry" VALUES('01a20d88d14070008000000000000017',39,'feeding_cleared','2026-11-24 12:30:00','Europe/Dublin','2026-11-24','','2026-11-25 12:00:00','noor-phone','{"kind":"feeding_cleared","locks":["01a20d5b-f4e0-7000-8000-000000000016"],"who":"Dr. Marsh","vet_words":"Go on, slower."}',NULL,'d331b7e3b11b44dca049d35856f2e7f9','5d2de0cb0d8649bba32773876b4171de','ed99c49248e44af1a88cdb1f0701e41a');
INSERT INTO "records_entry" VALUES('01a20d89bba070008000000000000018',40,'trouble_seen','2026-11-24 12:31:00','Europe/Dublin','2026-11-24','','2026-11-25 12:00:00','noor-phone','{"kind":"trouble_seen","trouble":"unreachable"}',NULL,'d331b7e3b11b44dca049d35856f2e7f9','5d2de0cb0d8649bba32773876b4171de','15609fbd553d4f5bbfff367361f4039a');
INSERT INTO "records_entry" VALUES('01a20e1b4d4070008000000000000019',41,'meal_ended','2026-11-24 15:10:00','Europe/Dublin','2026-11-24','2026-11-24T15:00','2026-11-25 12:00:00','noor-phone','{"kind":"meal_ended","session":"2026-11-24T15:00","total_ml":200.0,"fills":0}',NULL,'d331b7e3b11b44dca049d35856f2e7f9','5d2de0cb0d8649bba32773876b4171de','15609fbd553d4f5bbfff367361f4039a');
INSERT INTO "records_entry" VALUES('01a20e1d22007000800000000000001a',42,'meal_ended','2026-11-24 15:12:00','Europe/Dublin','2026-11-24','2026-11-24T15:00','2026-11-25 12:00:00','noor-phone','{"kind":"meal_ended","session":"2026-11-24T15:00","total_ml":210.0,"fills":0}',NULL,'d331b7e3b11b44dca049d35856f2e7f9','5d2de0cb0d8649bba32773876b4171de','ed99c49248e44af1a88cdb1f0701e41a');
INSERT INTO "records_entry" VALUES('01a20e2d9cc07000800000000000001b',43,'both_given','2026-11-24 15:30:00','Europe/Dublin','2026-11-24','2026-11-24T15:00','2026-11-25 12:00:00','noor-phone','{"kind":"both_given","session":"2026-11-24T15:00","entries":["01a20e1b-4d40-7000-8000-000000000019","01a20e1d-2200-7000-8000-00000000001a"],"reason":"two halves"}',NULL,'d331b7e3b11b44dca049d35856f2e7f9','5d2de0cb0d8649bba32773876b4171de','ed99c49248e44af1a88cdb1f0701e41a');
INSERT INTO "records_entry" VALUES('01a20c4024a07000800000000000001c',44,'medicine_given','2026-11-24 06:31:00','Europe/Dublin','2026-11-24','2026-11-24T06:30','2026-11-25 12:00:00','noor-phone','{"kind":"medicine_given","session":"2026-11-24T06:30","medicine":"omeprazole","dose_mg":"12","ml":"6","outcome":"given"}',NULL,'d331b7e3b11b44dca049d35856f2e7f9','5d2de0cb0d8649bba32773876b4171de','15609fbd553d4f5bbfff367361f4039a');
INSERT INTO "records_entry" VALUES('01a20ed352a07000800000000000001d',45,'medicine_given','2026-11-24 18:31:00','Europe/Dublin','2026-11-24','2026-11-24T18:30','2026-11-25 12:00:00','noor-phone','{"kind":"medicine_given","session":"2026-11-24T18:30","medicine":"omeprazole","dose_mg":"12","ml":"6","outcome":"partial","given_mg":"5.5"}',NULL,'d331b7e3b11b44dca049d35856f2e7f9','5d2de0cb0d8649bba32773876b4171de','15609fbd553d4f5bbfff367361f4039a');
INSERT INTO "records_entry" VALUES('01a20faf0ca07000800000000000001e',46,'medicine_given','2026-11-24 22:31:00','Europe/Dublin','2026-11-24','2026-11-24T22:30','2026-11-25 12:00:00','noor-phone','{"kind":"medicine_given","session":"2026-11-24T22:30","medicine":"metoclopramide","dose_mg":"5.22","ml":"5.2","outcome":"refused","reason":"spat it out"}',NULL,'d331b7e3b11b44dca049d35856f2e7f9','5d2de0cb0d8649bba32773876b4171de','15609fbd553d4f5bbfff367361f4039a');
INSERT INTO "records_entry" VALUES('01a20c91a0007000800000000000001f',47,'effect_seen','2026-11-24 08:00:00','Europe/Dublin','2026-11-24','','2026-11-25 12:00:00','noor-phone','{"kind":"effect_seen","of":"01a20c40-24a0-7000-8000-00000000001c","effect":"eased a little","words":"calmer"}',NULL,'d331b7e3b11b44dca049d35856f2e7f9','5d2de0cb0d8649bba32773876b4171de','15609fbd553d4f5bbfff367361f4039a');
INSERT INTO "records_entry" VALUES('01a20c3f3a4070008000000000000020',48,'second_check','2026-11-24 06:30:00','Europe/Dublin','2026-11-24','2026-11-24T06:30','2026-11-25 12:00:00','noor-phone','{"kind":"second_check","session":"2026-11-24T06:30","medicine":"omeprazole","ml":"6","reader":"ed99c492-48e4-4af1-a88c-db1f0701e41a","reader_name":"Noor"}',NULL,'d331b7e3b11b44dca049d35856f2e7f9','5d2de0cb0d8649bba32773876b4171de','15609fbd553d4f5bbfff367361f4039a');
INSERT INTO "records_entry" VALUES('01a20c5ab18070008000000000000021',49,'weight','2026-11-24 07:00:00','Europe/Dublin','2026-11-24','','2026-11-25 12:00:00','noor-phone','{"kind":"weight","weight_kg":17.3,"scale":"hall scale"}',NULL,'d331b7e3b11b44dca049d35856f2e7f9','5d2de0cb0d8649bba32773876b4171de','15609fbd553d4f5bbfff367361f4039a');
INSERT INTO "records_entry" VALUES('01a20c5b9be070008000000000000022',50,'weight','2026-11-24 07:01:00','Europe/Dublin','2026-11-24','','2026-11-25 12:00:00','noor-phone','{"kind":"weight","weight_kg":71.3,"scale":"hall scale"}',NULL,'d331b7e3b11b44dca049d35856f2e7f9','5d2de0cb0d8649bba32773876b4171de','15609fbd553d4f5bbfff367361f4039a');
INSERT INTO "records_entry" VALUES('01a211eeea8070008000000000000023',51,'weight','2026-11-25 09:00:00','Europe/Dublin','2026-11-25','','2026-11-25 12:00:00','noor-phone','{"kind":"weight","weight_kg":17.3,"scale":"hall scale"}','01a20c5b9be070008000000000000022','d331b7e3b11b44dca049d35856f2e7f9','5d2de0cb0d8649bba32773876b4171de','15609fbd553d4f5bbfff367361f4039a');
INSERT INTO "records_entry" VALUES('01a20cc88e8070008000000000000024',52,'drank','2026-11-24 09:00:00','Europe/Dublin','2026-11-24','','2026-11-25 12:00:00','noor-phone','{"kind":"drank","ml":30.0}',NULL,'d331b7e3b11b44dca049d35856f2e7f9','5d2de0cb0d8649bba32773876b4171de','15609fbd553d4f5bbfff367361f4039a');
INSERT INTO "records_entry" VALUES('01a20cff7d0070008000000000000025',53,'drank','2026-11-24 10:00:00','Europe/Dublin','2026-11-24','','2026-11-25 12:00:00','noor-phone','{"kind":"drank","ml":"not known"}',NULL,'d331b7e3b11b44dca049d35856f2e7f9','5d2de0cb0d8649bba32773876b4171de','15609fbd553d4f5bbfff367361f4039a');
INSERT INTO "records_entry" VALUES('01a20ce405c070008000000000000026',54,'ate','2026-11-24 09:30:00','Europe/Dublin','2026-11-24','','2026-11-25 12:00:00','noor-phone','{"kind":"ate","food":"stew","g":12.5}',NULL,'d331b7e3b11b44dca049d35856f2e7f9','5d2de0cb0d8649bba32773876b4171de','15609fbd553d4f5bbfff367361f4039a');
INSERT INTO "records_entry" VALUES('01a211d3734070008000000000000027',55,'ate','2026-11-25 08:30:00','Europe/Dublin','2026-11-25','','2026-11-25 12:00:00','noor-phone','{"kind":"ate","food":"stew","g":"not known"}',NULL,'d331b7e3b11b44dca049d35856f2e7f9','5d2de0cb0d8649bba32773876b4171de','15609fbd553d4f5bbfff367361f4039a');
INSERT INTO "records_entry" VALUES('01a20eeddf8070008000000000000028',56,'flow_test','2026-11-24 19:00:00','Europe/Dublin','2026-11-24','','2026-11-25 12:00:00','noor-phone','{"kind":"flow_test","foods":["stew"],"food_g":820.0,"water_ml":160.0,"left_ml":2.4,"has_flowed":true,"sieved":true,"frozen":false,"batch":"blue jar","made_on":"2026-11-24"}',NULL,'d331b7e3b11b44dca049d35856f2e7f9','5d2de0cb0d8649bba32773876b4171de','15609fbd553d4f5bbfff367361f4039a');
INSERT INTO "records_entry" VALUES('01a20cff7d0070008000000000000029',57,'food_kept','2026-11-24 10:00:00','Europe/Dublin','2026-11-24','','2026-11-25 12:00:00','noor-phone','{"kind":"food_kept","food":{"id":"puree-two","name":"Puree, new can","label":{"energy":1240.0,"unit":"kcal","per":"kg"},"analysis":{"protein_percent":10.0,"fat_percent":7.5,"fiber_percent":0.6,"moisture_percent":74.0,"ash_percent":2.1},"energy_method":"NRC 2006","can_g":370.0,"can_ml":352.0,"keeps_days":3,"complete":true,"nutrients":[]}}',NULL,'d331b7e3b11b44dca049d35856f2e7f9','5d2de0cb0d8649bba32773876b4171de','15609fbd553d4f5bbfff367361f4039a');
INSERT INTO "records_entry" VALUES('01a2114a1f007000800000000000002a',58,'note','2026-11-25 06:00:00','Europe/Dublin','2026-11-25','','2026-11-25 12:00:00','noor-phone','{"kind":"note","text":"Slept through.\nTube clean — “dry”."}',NULL,'d331b7e3b11b44dca049d35856f2e7f9','5d2de0cb0d8649bba32773876b4171de','9cd0b3e8726140d8b71d6b68fc18350e');
INSERT INTO "records_entry" VALUES('01a21293b600767a8437d2f39a9b6b0f',59,'photo_taken','2026-11-25 12:00:00','Europe/Dublin','2026-11-25','','2026-11-25 12:00:00','sam-phone','{"kind":"photo_taken","photo":"01a21293-b600-767a-8437-d2f39a9b6b0f","words":"the site"}',NULL,'d331b7e3b11b44dca049d35856f2e7f9','5d2de0cb0d8649bba32773876b4171de','15609fbd553d4f5bbfff367361f4039a');
INSERT INTO "records_entry" VALUES('01a2099095007000800000000000002b',60,'bottle_opened','2026-11-23 18:00:00','Europe/Dublin','2026-11-23','','2026-11-25 12:00:00','noor-phone','{"kind":"bottle_opened","medicine":"omeprazole","strength":"2 mg/mL","ml":"120","expires_on":"2027-03-31","filled_on":"2026-11-20","keeps_as":"water, preserved","lot":"Q1"}',NULL,'d331b7e3b11b44dca049d35856f2e7f9','5d2de0cb0d8649bba32773876b4171de','15609fbd553d4f5bbfff367361f4039a');
INSERT INTO "records_entry" VALUES('01a20f5bbc807000800000000000002c',61,'stock_counted','2026-11-24 21:00:00','Europe/Dublin','2026-11-24','','2026-11-25 12:00:00','noor-phone','{"kind":"stock_counted","medicine":"omeprazole","bottle":"01a20990-9500-7000-8000-00000000002b","ml":"101.5"}',NULL,'d331b7e3b11b44dca049d35856f2e7f9','5d2de0cb0d8649bba32773876b4171de','15609fbd553d4f5bbfff367361f4039a');
INSERT INTO "records_entry" VALUES('01a21225d9007000800000000000002d',62,'bottle_opened','2026-11-25 10:00:00','Europe/Dublin','2026-11-25','','2026-11-25 12:00:00','noor-phone','{"kind":"bottle_opened","medicine":"metoclopramide","strength":"2 mg/mL","ml":"60"}',NULL,'d331b7e3b11b44dca049d35856f2e7f9','5d2de0cb0d8649bba32773876b4171de','15609fbd553d4f5bbfff367361f4039a');
INSERT INTO "records_entry" VALUES('01a21293b6007288828d61693db3a13e',63,'strength_confirmed','2026-11-25 12:00:00','Europe/Dublin','2026-11-25','','2026-11-25 12:00:00','noor-phone','{"kind":"strength_confirmed","medicine":"metoclopramide","bottle":"01a21225-d900-7000-8000-00000000002d","old":"1 mg/mL","new":"2 mg/mL"}',NULL,'d331b7e3b11b44dca049d35856f2e7f9','5d2de0cb0d8649bba32773876b4171de','ed99c49248e44af1a88cdb1f0701e41a');
INSERT INTO "records_entry" VALUES('01a2124150407000800000000000002e',64,'sheet_printed','2026-11-25 10:30:00','Europe/Dublin','2026-11-25','','2026-11-25 12:00:00','noor-phone','{"kind":"sheet_printed","version":1,"first_on":"2026-11-25","last_on":"2026-12-01"}',NULL,'d331b7e3b11b44dca049d35856f2e7f9','5d2de0cb0d8649bba32773876b4171de','ed99c49248e44af1a88cdb1f0701e41a');
INSERT INTO "records_entry" VALUES('01a21293b600748cbaf58b024bb77741',65,'day_replanned','2026-11-25 12:00:00','Europe/Dublin','2026-11-25','','2026-11-25 12:00:00','noor-phone','{"kind":"day_replanned","sessions":[{"session":"2026-11-25T14:30","at":"2026-11-25T16:00:00Z","without":[]},{"session":"2026-11-25T15:00","at":"2026-11-25T16:30:00Z","without":[]}],"reason":"dentist"}',NULL,'d331b7e3b11b44dca049d35856f2e7f9','5d2de0cb0d8649bba32773876b4171de','ed99c49248e44af1a88cdb1f0701e41a');
INSERT INTO "records_entry" VALUES('01a2128f22207000800000000000002f',66,'session_started','2026-11-25 11:55:00','Europe/Dublin','2026-11-25','2026-11-25T15:00','2026-11-25 12:00:00','noor-phone','{"kind":"session_started","session":"2026-11-25T15:00"}',NULL,'d331b7e3b11b44dca049d35856f2e7f9','5d2de0cb0d8649bba32773876b4171de','ed99c49248e44af1a88cdb1f0701e41a');
CREATE TABLE "records_household" ("id" char(32) NOT NULL PRIMARY KEY, "name" varchar(80) NOT NULL, "time_zone" varchar(64) NOT NULL, "day_starts_clock" time NOT NULL, "last_seq" bigint NOT NULL);
INSERT INTO "records_household" VALUES('5d2de0cb0d8649bba32773876b4171de','Quarry Lane','Europe/Dublin','04:00:00',66);
CREATE TABLE "records_person" ("id" char(32) NOT NULL PRIMARY KEY, "name" varchar(80) NOT NULL, "role" varchar(10) NOT NULL, "from_on" date NULL, "until_on" date NULL, "household_id" char(32) NOT NULL REFERENCES "records_household" ("id") DEFERRABLE INITIALLY DEFERRED, "user_id" integer NOT NULL UNIQUE REFERENCES "auth_user" ("id") DEFERRABLE INITIALLY DEFERRED);
INSERT INTO "records_person" VALUES('ed99c49248e44af1a88cdb1f0701e41a','Noor','lead',NULL,NULL,'5d2de0cb0d8649bba32773876b4171de',1);
INSERT INTO "records_person" VALUES('15609fbd553d4f5bbfff367361f4039a','Sam','helper',NULL,NULL,'5d2de0cb0d8649bba32773876b4171de',2);
INSERT INTO "records_person" VALUES('9cd0b3e8726140d8b71d6b68fc18350e','Ilse','sitter','2026-11-24','2026-11-26','5d2de0cb0d8649bba32773876b4171de',3);
CREATE TABLE "records_photo" ("id" char(32) NOT NULL PRIMARY KEY, "recorded_at" datetime NOT NULL, "jpeg" BLOB NOT NULL, "small_jpeg" BLOB NOT NULL, "animal_id" char(32) NOT NULL REFERENCES "records_animal" ("id") DEFERRABLE INITIALLY DEFERRED, "by_id" char(32) NOT NULL REFERENCES "records_person" ("id") DEFERRABLE INITIALLY DEFERRED, "household_id" char(32) NOT NULL REFERENCES "records_household" ("id") DEFERRABLE INITIALLY DEFERRED);
INSERT INTO "records_photo" VALUES('01a21293b600767a8437d2f39a9b6b0f','2026-11-25 12:00:00',X'FFD8FFE000104A46494600010100000100010000FFDB0043000604040504040605050506060607090E0909080809120D0D0A0E1512161615121414171A211C17181F1914141D271D1F2223252525161C292C28242B21242524FFDB00430106060609080911090911241814182424242424242424242424242424242424242424242424242424242424242424242424242424242424242424242424242424FFC00011080004000403012200021101031101FFC4001500010100000000000000000000000000000007FFC40014100100000000000000000000000000000000FFC4001501010100000000000000000000000000000607FFC40014110100000000000000000000000000000000FFDA000C03010002110311003F009C000E9BBFFFD9',X'FFD8FFE000104A46494600010100000100010000FFDB0043000604040504040605050506060607090E0909080809120D0D0A0E1512161615121414171A211C17181F1914141D271D1F2223252525161C292C28242B21242524FFDB00430106060609080911090911241814182424242424242424242424242424242424242424242424242424242424242424242424242424242424242424242424242424FFC00011080004000403012200021101031101FFC4001500010100000000000000000000000000000007FFC40014100100000000000000000000000000000000FFC4001501010100000000000000000000000000000607FFC40014110100000000000000000000000000000000FFDA000C03010002110311003F009C000E9BBFFFD9','d331b7e3b11b44dca049d35856f2e7f9','15609fbd553d4f5bbfff367361f4039a','5d2de0cb0d8649bba32773876b4171de');
CREATE TABLE "records_planversion" ("id" char(32) NOT NULL PRIMARY KEY, "number" integer unsigned NOT NULL CHECK ("number" >= 0), "document" text NOT NULL, "effective_from" datetime NOT NULL, "vet_words" text NOT NULL, "vet_said_on" date NOT NULL, "recorded_at" datetime NOT NULL, "animal_id" char(32) NOT NULL REFERENCES "records_animal" ("id") DEFERRABLE INITIALLY DEFERRED, "confirmed_by_id" char(32) NOT NULL REFERENCES "records_person" ("id") DEFERRABLE INITIALLY DEFERRED, "household_id" char(32) NOT NULL REFERENCES "records_household" ("id") DEFERRABLE INITIALLY DEFERRED, CONSTRAINT "plan_number_once" UNIQUE ("animal_id", "number"));
INSERT INTO "records_planversion" VALUES('240a3eb2f7174bf2b7a19d65ea2a67f0',1,'{
 "format": "fillmark care plan 1",
 "household": {
  "name": "Quarry Lane",
  "time_zone": "Europe/Dublin",
  "day_starts": "04:00",
  "people": [
   {
    "id": "noor",
    "name": "Noor",
    "role": "lead",
    "there": [
     {
      "days": [
       "mon",
       "tue",
       "wed",
       "thu",
       "fri",
       "sat",
       "sun"
      ],
      "comes": "17:30",
      "goes": "09:00"
     },
     {
      "days": [
       "sat",
       "sun"
      ],
      "comes": "08:00",
      "goes": "19:00"
     }
    ],
    "away": [
     {
      "from_on": "2026-12-18",
      "until_on": "2026-12-21"
     }
    ]
   },
   {
    "id": "sam",
    "name": "Sam",
    "role": "helper",
    "there": [
     {
      "days": [
       "mon",
       "tue",
       "wed",
       "thu",
       "fri"
      ],
      "comes": "08:30",
      "goes": "18:00"
     }
    ]
   },
   {
    "id": "ilse",
    "name": "Ilse",
    "role": "helper"
   }
  ]
 },
 "animal": {
  "name": "Juniper",
  "species": "dog",
  "born_on": "2019-05-02",
  "sex": "female, neutered",
  "condition": {
   "score": 4.0,
   "of": 9
  },
  "by_mouth": "nothing",
  "weights": [
   {
    "on": "2026-10-21",
    "kg": 17.1,
    "scale": "clinic floor scale"
   },
   {
    "on": "2026-11-04",
    "kg": 17.2,
    "scale": "clinic floor scale"
   },
   {
    "on": "2026-11-18",
    "kg": 17.4,
    "scale": "clinic floor scale"
   }
  ],
  "tube": {
   "kind": "gastrostomy",
   "french": 20.0,
   "placed_on": "2026-06-12",
   "length_cm": 30.0,
   "mark_at_skin_cm": 6.5,
   "inner_diameter_mm": "not stated",
   "balloon_ml": 15.0
  }
 },
 "vet": {
  "name": "Dr. Aoife Marsh",
  "practice": "Millrace Veterinary Practice (invented)",
  "said_on": "2026-11-18",
  "words": "Keep on with four meals by tube, nothing by mouth. Upright for twenty minutes. Ring us if she coughs at a meal.",
  "call": [
   {
    "who": "Millrace Veterinary Practice",
    "phone": "+353 1 555 0134",
    "when": "weekdays 8:30 to 18:30",
    "hours": [
     {
      "days": [
       "mon",
       "tue",
       "wed",
       "thu",
       "fri"
      ],
      "opens": "08:30",
      "closes": "18:30"
     }
    ]
   },
   {
    "who": "Night clinic",
    "phone": "+353 1 555 0177",
    "when": "nights and weekends",
    "hours": [
     {
      "days": [
       "mon",
       "tue",
       "wed",
       "thu"
      ],
      "opens": "18:30",
      "closes": "08:30"
     },
     {
      "days": [
       "fri"
      ],
      "opens": "18:30",
      "closes": "00:00"
     },
     {
      "days": [
       "sat",
       "sun"
      ],
      "opens": "00:00",
      "closes": "00:00"
     },
     {
      "days": [
       "mon"
      ],
      "opens": "00:00",
      "closes": "08:30"
     }
    ]
   }
  ],
  "troubles": [
   {
    "trouble": "cough",
    "words": "Stop the meal, hold her upright, and ring us before the next one."
   },
   {
    "trouble": "clog",
    "words": "Warm water in the 60 mL syringe, gently back and forth. If that fails, come in."
   }
  ]
 },
 "orders": {
  "energy": {
   "factor": 1.5
  },
  "meals_per_day": 4,
  "meal_gap_hours": 3.0,
  "warn_ml_per_kg": 17.0,
  "cap_ml_per_kg": 20.0,
  "flush_before_ml": 10.0,
  "flush_between_ml": 5.0,
  "flush_after_ml": 20.0,
  "pace_ml_per_minute": 20.0,
  "upright_minutes": 20.0,
  "water_ml_per_kg_per_day": {
   "low": 50.0,
   "high": 80.0
  },
  "flow_limit_level": 2
 },
 "foods": [
  {
   "id": "stew",
   "name": "Canned stew (invented)",
   "label": {
    "energy": 498.0,
    "unit": "kcal",
    "per": "can"
   },
   "analysis": {
    "protein_percent": 9.5,
    "fat_percent": 7.0,
    "fiber_percent": 0.8,
    "moisture_percent": 74.0,
    "ash_percent": 2.2
   },
   "can_g": 410.0,
   "can_ml": 392.0,
   "keeps_days": 2,
   "complete": true
  },
  {
   "id": "puree",
   "name": "Canned puree (invented)",
   "label": {
    "energy": 1240.0,
    "unit": "kcal",
    "per": "kg"
   },
   "analysis": {
    "protein_percent": 10.0,
    "fat_percent": 7.5,
    "fiber_percent": 0.6,
    "moisture_percent": 74.0,
    "ash_percent": 2.1
   },
   "can_g": 370.0,
   "can_ml": 352.0,
   "keeps_days": 3,
   "complete": true
  }
 ],
 "blend": {
  "name": "Stew and warm water",
  "foods": [
   {
    "food": "stew",
    "cans": 2.0
   }
  ],
  "water_ml": 160.0,
  "measured": {
   "on": "2026-11-24",
   "ml": 935.0
  }
 },
 "syringes": [
  {
   "id": "feeding",
   "size_ml": 60.0,
   "step_ml": 1.0,
   "numbered_every_ml": 10.0,
   "tip": "enteral",
   "count": 4
  },
  {
   "id": "medicine-10",
   "size_ml": 10.0,
   "step_ml": 0.2,
   "numbered_every_ml": 1.0,
   "tip": "enteral",
   "count": 3
  },
  {
   "id": "medicine-3",
   "size_ml": 3.0,
   "step_ml": 0.1,
   "numbered_every_ml": 0.5,
   "tip": "low-dose enteral",
   "count": 2
  }
 ],
 "medicines": [
  {
   "id": "metoclopramide",
   "name": "Metoclopramide",
   "purpose": "moves food on",
   "form": "liquid",
   "strength": "1 mg/mL",
   "dose": "0.3 mg/kg",
   "dose_for_weight_kg": 17.4,
   "route": "tube",
   "every_hours": 8.0,
   "clocks": [
    "06:30",
    "14:30",
    "22:30"
   ],
   "food": {
    "relation": "before",
    "minutes": 30.0
   },
   "crush": "not allowed",
   "ordered_by": "Dr. Aoife Marsh",
   "ordered_on": "2026-11-18"
  },
  {
   "id": "omeprazole",
   "name": "Omeprazole",
   "purpose": "less acid",
   "form": "liquid",
   "strength": "2 mg/mL",
   "dose": "12 mg",
   "route": "tube",
   "every_hours": 12.0,
   "clocks": [
    "06:30",
    "18:30"
   ],
   "food": {
    "relation": "before",
    "minutes": 30.0
   },
   "crush": "not allowed",
   "ordered_by": "Dr. Aoife Marsh",
   "ordered_on": "2026-11-18"
  }
 ],
 "tasks": [
  {
   "id": "weigh",
   "name": "Weigh her",
   "clocks": [
    "07:00"
   ],
   "days": [
    "fri"
   ],
   "minutes": 5.0,
   "food": "before",
   "may": [
    "noor"
   ],
   "how": "On the floor scale in the hall, before the meal. Write the weight down."
  },
  {
   "id": "site",
   "name": "Wash and dry the site",
   "clocks": [
    "20:00"
   ],
   "days": [
    "fri"
   ],
   "minutes": 10.0,
   "food": "after",
   "how": "Saline on gauze, then dry. Turn the disk. Look for redness, swelling, pus."
  }
 ],
 "timetable": {
  "meals": [
   "07:00",
   "11:30",
   "15:00",
   "20:00"
  ]
 }
}','2026-11-23 12:00:00','Keep on with four meals by tube, nothing by mouth. Upright for twenty minutes. Ring us if she coughs at a meal.','2026-11-18','2026-11-25 12:00:00','d331b7e3b11b44dca049d35856f2e7f9','ed99c49248e44af1a88cdb1f0701e41a','5d2de0cb0d8649bba32773876b4171de');
INSERT INTO "records_planversion" VALUES('d134deb9c4644572ae41790124a920fe',2,'{
 "format": "fillmark care plan 1",
 "household": {
  "name": "Quarry Lane",
  "time_zone": "Europe/Dublin",
  "day_starts": "04:00",
  "people": [
   {
    "id": "noor",
    "name": "Noor",
    "role": "lead",
    "there": [
     {
      "days": [
       "mon",
       "tue",
       "wed",
       "thu",
       "fri",
       "sat",
       "sun"
      ],
      "comes": "17:30",
      "goes": "09:00"
     },
     {
      "days": [
       "sat",
       "sun"
      ],
      "comes": "08:00",
      "goes": "19:00"
     }
    ],
    "away": [
     {
      "from_on": "2026-12-18",
      "until_on": "2026-12-21"
     }
    ]
   },
   {
    "id": "sam",
    "name": "Sam",
    "role": "helper",
    "there": [
     {
      "days": [
       "mon",
       "tue",
       "wed",
       "thu",
       "fri"
      ],
      "comes": "08:30",
      "goes": "18:00"
     }
    ]
   },
   {
    "id": "ilse",
    "name": "Ilse",
    "role": "helper"
   }
  ]
 },
 "animal": {
  "name": "Juniper",
  "species": "dog",
  "born_on": "2019-05-02",
  "sex": "female, neutered",
  "condition": {
   "score": 4.0,
   "of": 9
  },
  "by_mouth": "nothing",
  "weights": [
   {
    "on": "2026-10-21",
    "kg": 17.1,
    "scale": "clinic floor scale"
   },
   {
    "on": "2026-11-04",
    "kg": 17.2,
    "scale": "clinic floor scale"
   },
   {
    "on": "2026-11-18",
    "kg": 17.4,
    "scale": "clinic floor scale"
   }
  ],
  "tube": {
   "kind": "gastrostomy",
   "french": 20.0,
   "placed_on": "2026-06-12",
   "length_cm": 30.0,
   "mark_at_skin_cm": 6.5,
   "inner_diameter_mm": "not stated",
   "balloon_ml": 15.0
  }
 },
 "vet": {
  "name": "Dr. Aoife Marsh",
  "practice": "Millrace Veterinary Practice (invented)",
  "said_on": "2026-11-18",
  "words": "Keep on with four meals by tube, nothing by mouth. Upright for twenty minutes. Ring us if she coughs at a meal.",
  "call": [
   {
    "who": "Millrace Veterinary Practice",
    "phone": "+353 1 555 0134",
    "when": "weekdays 8:30 to 18:30",
    "hours": [
     {
      "days": [
       "mon",
       "tue",
       "wed",
       "thu",
       "fri"
      ],
      "opens": "08:30",
      "closes": "18:30"
     }
    ]
   },
   {
    "who": "Night clinic",
    "phone": "+353 1 555 0177",
    "when": "nights and weekends",
    "hours": [
     {
      "days": [
       "mon",
       "tue",
       "wed",
       "thu"
      ],
      "opens": "18:30",
      "closes": "08:30"
     },
     {
      "days": [
       "fri"
      ],
      "opens": "18:30",
      "closes": "00:00"
     },
     {
      "days": [
       "sat",
       "sun"
      ],
      "opens": "00:00",
      "closes": "00:00"
     },
     {
      "days": [
       "mon"
      ],
      "opens": "00:00",
      "closes": "08:30"
     }
    ]
   }
  ],
  "troubles": [
   {
    "trouble": "cough",
    "words": "Stop the meal, hold her upright, and ring us before the next one."
   },
   {
    "trouble": "clog",
    "words": "Warm water in the 60 mL syringe, gently back and forth. If that fails, come in."
   }
  ]
 },
 "orders": {
  "energy": {
   "factor": 1.5
  },
  "meals_per_day": 4,
  "meal_gap_hours": 3.0,
  "warn_ml_per_kg": 17.0,
  "cap_ml_per_kg": 20.0,
  "flush_before_ml": 10.0,
  "flush_between_ml": 5.0,
  "flush_after_ml": 20.0,
  "pace_ml_per_minute": 20.0,
  "upright_minutes": 20.0,
  "water_ml_per_kg_per_day": {
   "low": 50.0,
   "high": 80.0
  },
  "flow_limit_level": 2
 },
 "foods": [
  {
   "id": "stew",
   "name": "Canned stew (invented)",
   "label": {
    "energy": 498.0,
    "unit": "kcal",
    "per": "can"
   },
   "analysis": {
    "protein_percent": 9.5,
    "fat_percent": 7.0,
    "fiber_percent": 0.8,
    "moisture_percent": 74.0,
    "ash_percent": 2.2
   },
   "can_g": 410.0,
   "can_ml": 392.0,
   "keeps_days": 2,
   "complete": true
  },
  {
   "id": "puree",
   "name": "Canned puree (invented)",
   "label": {
    "energy": 1240.0,
    "unit": "kcal",
    "per": "kg"
   },
   "analysis": {
    "protein_percent": 10.0,
    "fat_percent": 7.5,
    "fiber_percent": 0.6,
    "moisture_percent": 74.0,
    "ash_percent": 2.1
   },
   "can_g": 370.0,
   "can_ml": 352.0,
   "keeps_days": 3,
   "complete": true
  }
 ],
 "blend": {
  "name": "Stew and warm water",
  "foods": [
   {
    "food": "stew",
    "cans": 2.0
   }
  ],
  "water_ml": 160.0,
  "measured": {
   "on": "2026-11-24",
   "ml": 935.0
  }
 },
 "syringes": [
  {
   "id": "feeding",
   "size_ml": 60.0,
   "step_ml": 1.0,
   "numbered_every_ml": 10.0,
   "tip": "enteral",
   "count": 4
  },
  {
   "id": "medicine-10",
   "size_ml": 10.0,
   "step_ml": 0.2,
   "numbered_every_ml": 1.0,
   "tip": "enteral",
   "count": 3
  },
  {
   "id": "medicine-3",
   "size_ml": 3.0,
   "step_ml": 0.1,
   "numbered_every_ml": 0.5,
   "tip": "low-dose enteral",
   "count": 2
  }
 ],
 "medicines": [
  {
   "id": "metoclopramide",
   "name": "Metoclopramide",
   "purpose": "moves food on",
   "form": "liquid",
   "strength": "2 mg/mL",
   "dose": "0.3 mg/kg",
   "dose_for_weight_kg": 17.4,
   "route": "tube",
   "every_hours": 8.0,
   "clocks": [
    "06:30",
    "14:30",
    "22:30"
   ],
   "food": {
    "relation": "before",
    "minutes": 30.0
   },
   "crush": "not allowed",
   "ordered_by": "Dr. Aoife Marsh",
   "ordered_on": "2026-11-18"
  },
  {
   "id": "omeprazole",
   "name": "Omeprazole",
   "purpose": "less acid",
   "form": "liquid",
   "strength": "2 mg/mL",
   "dose": "12 mg",
   "route": "tube",
   "every_hours": 12.0,
   "clocks": [
    "06:30",
    "18:30"
   ],
   "food": {
    "relation": "before",
    "minutes": 30.0
   },
   "crush": "not allowed",
   "ordered_by": "Dr. Aoife Marsh",
   "ordered_on": "2026-11-18"
  }
 ],
 "tasks": [
  {
   "id": "weigh",
   "name": "Weigh her",
   "clocks": [
    "07:00"
   ],
   "days": [
    "fri"
   ],
   "minutes": 5.0,
   "food": "before",
   "may": [
    "noor"
   ],
   "how": "On the floor scale in the hall, before the meal. Write the weight down."
  },
  {
   "id": "site",
   "name": "Wash and dry the site",
   "clocks": [
    "20:00"
   ],
   "days": [
    "fri"
   ],
   "minutes": 10.0,
   "food": "after",
   "how": "Saline on gauze, then dry. Turn the disk. Look for redness, swelling, pus."
  }
 ],
 "timetable": {
  "meals": [
   "07:00",
   "11:30",
   "15:00",
   "20:00"
  ]
 }
}','2026-11-25 12:00:00','Half as many mL.','2026-11-25','2026-11-25 12:00:00','d331b7e3b11b44dca049d35856f2e7f9','ed99c49248e44af1a88cdb1f0701e41a','5d2de0cb0d8649bba32773876b4171de');
CREATE TABLE "records_signinlink" ("token_hash" varchar(64) NOT NULL PRIMARY KEY, "expires_at" datetime NOT NULL, "used_at" datetime NULL, "household_id" char(32) NOT NULL REFERENCES "records_household" ("id") DEFERRABLE INITIALLY DEFERRED, "person_id" char(32) NOT NULL REFERENCES "records_person" ("id") DEFERRABLE INITIALLY DEFERRED);
CREATE UNIQUE INDEX "django_content_type_app_label_model_76bd3d3b_uniq" ON "django_content_type" ("app_label", "model");
CREATE UNIQUE INDEX "auth_group_permissions_group_id_permission_id_0cd325b0_uniq" ON "auth_group_permissions" ("group_id", "permission_id");
CREATE INDEX "auth_group_permissions_group_id_b120cbf9" ON "auth_group_permissions" ("group_id");
CREATE INDEX "auth_group_permissions_permission_id_84c5c92e" ON "auth_group_permissions" ("permission_id");
CREATE UNIQUE INDEX "auth_user_groups_user_id_group_id_94350c0c_uniq" ON "auth_user_groups" ("user_id", "group_id");
CREATE INDEX "auth_user_groups_user_id_6a12ed8b" ON "auth_user_groups" ("user_id");
CREATE INDEX "auth_user_groups_group_id_97559544" ON "auth_user_groups" ("group_id");
CREATE UNIQUE INDEX "auth_user_user_permissions_user_id_permission_id_14a6b632_uniq" ON "auth_user_user_permissions" ("user_id", "permission_id");
CREATE INDEX "auth_user_user_permissions_user_id_a95ead1b" ON "auth_user_user_permissions" ("user_id");
CREATE INDEX "auth_user_user_permissions_permission_id_1fbb5f2c" ON "auth_user_user_permissions" ("permission_id");
CREATE UNIQUE INDEX "auth_permission_content_type_id_codename_01ab375a_uniq" ON "auth_permission" ("content_type_id", "codename");
CREATE INDEX "auth_permission_content_type_id_2f476e4b" ON "auth_permission" ("content_type_id");
CREATE INDEX "records_person_household_id_5deb33cb" ON "records_person" ("household_id");
CREATE INDEX "records_signinlink_household_id_d80d468b" ON "records_signinlink" ("household_id");
CREATE INDEX "records_signinlink_person_id_ffbd0c6f" ON "records_signinlink" ("person_id");
CREATE INDEX "entry_by_day" ON "records_entry" ("animal_id", "day");
CREATE INDEX "entry_by_corrects" ON "records_entry" ("corrects") WHERE "corrects" IS NOT NULL;
CREATE INDEX "records_planversion_animal_id_03ceade1" ON "records_planversion" ("animal_id");
CREATE INDEX "records_planversion_confirmed_by_id_c84b24a4" ON "records_planversion" ("confirmed_by_id");
CREATE INDEX "records_planversion_household_id_347e4def" ON "records_planversion" ("household_id");
CREATE TRIGGER records_entry_no_update BEFORE UPDATE ON records_entry BEGIN SELECT RAISE(ABORT, 'the record is append-only'); END;
CREATE TRIGGER records_entry_no_delete BEFORE DELETE ON records_entry BEGIN SELECT RAISE(ABORT, 'the record is append-only'); END;
CREATE TRIGGER records_planversion_no_update BEFORE UPDATE ON records_planversion BEGIN SELECT RAISE(ABORT, 'the record is append-only'); END;
CREATE TRIGGER records_planversion_no_delete BEFORE DELETE ON records_planversion BEGIN SELECT RAISE(ABORT, 'the record is append-only'); END;
CREATE INDEX "records_animal_household_id_3df9cdc5" ON "records_animal" ("household_id");
CREATE INDEX "entry_by_kind" ON "records_entry" ("animal_id", "kind", "day");
CREATE INDEX "entry_by_person" ON "records_entry" ("animal_id", "by_id", "day");
CREATE INDEX "records_photo_animal_id_9611a99a" ON "records_photo" ("animal_id");
CREATE INDEX "records_photo_household_id_c4e2f950" ON "records_photo" ("household_id");
CREATE INDEX "records_animal_photo_id_45e21137" ON "records_animal" ("photo_id");
CREATE INDEX "django_session_expire_date_a5c62663" ON "django_session" ("expire_date");
DELETE FROM "sqlite_sequence";
INSERT INTO "sqlite_sequence" VALUES('django_migrations',18);
INSERT INTO "sqlite_sequence" VALUES('django_content_type',13);
INSERT INTO "sqlite_sequence" VALUES('auth_permission',52);
INSERT INTO "sqlite_sequence" VALUES('auth_group',0);
INSERT INTO "sqlite_sequence" VALUES('auth_user',3);
INSERT INTO "sqlite_sequence" VALUES('records_dayrollup',3);
COMMIT;
